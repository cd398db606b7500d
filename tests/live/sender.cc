// A MIDI instrument that is played: opens a port of the JACK server and, once its standard input
// has an end, plays notes there, printing each message as "nanoseconds of the steady clock: bytes
// in hexadecimal". Then it waits for a SIGTERM. A program of its own, as midi_listener is.
//
//   midi_sender CLIENT PORT NOTES MILLISECONDS [sign]
//
// `sign`: at the end it holds the two lowest keys of the piano for longer than a second.
#include <RtMidi.h>
#include <signal.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <thread>
#include <vector>

namespace {

using Clock = std::chrono::steady_clock;

void print_line(const std::string& line) {
  // At once and whole.
  if (::write(STDOUT_FILENO, line.data(), line.size()) < 0) ::_exit(1);
}

void send(RtMidiOut& output, const std::vector<unsigned char>& message) {
  const auto now = Clock::now().time_since_epoch();
  output.sendMessage(&message);
  std::string line =
      std::to_string(std::chrono::duration_cast<std::chrono::nanoseconds>(now).count()) + ":";
  for (const unsigned char byte : message) {
    std::array<char, 4> text{};
    std::snprintf(text.data(), text.size(), " %02X", byte);
    line += text.data();
  }
  print_line(line + "\n");
}

void play(RtMidiOut& output, int notes, std::chrono::milliseconds apart) {
  auto next = Clock::now();
  for (int i = 0; i < notes; ++i) {
    const auto key = static_cast<unsigned char>(40 + i % 40);
    send(output, {0x90, key, static_cast<unsigned char>(1 + i % 127)});
    next += apart;
    std::this_thread::sleep_until(next);
    send(output, {0x80, key, 64});
  }
}

void give_sign(RtMidiOut& output) {
  send(output, {0x90, 22, 60});
  send(output, {0x90, 21, 60});
  std::this_thread::sleep_for(std::chrono::milliseconds(1500));
  send(output, {0x80, 22, 0});
  send(output, {0x80, 21, 0});
}

}  // namespace

int main(int count, char** words) {
  if (count < 5) return 2;
  sigset_t end{};
  sigemptyset(&end);
  sigaddset(&end, SIGTERM);
  sigprocmask(SIG_BLOCK, &end, nullptr);
  try {
    RtMidiOut output(RtMidi::UNIX_JACK, words[1]);
    output.openVirtualPort(words[2]);
    print_line("ready\n");
    char byte = 0;
    while (::read(STDIN_FILENO, &byte, 1) > 0) {
    }
    play(output, std::atoi(words[3]), std::chrono::milliseconds(std::atoi(words[4])));
    if (count > 5) give_sign(output);
    print_line("done\n");
    int number = 0;
    sigwait(&end, &number);
  } catch (const RtMidiError& error) {
    std::fprintf(stderr, "%s\n", error.getMessage().c_str());
    return 1;
  }
  return 0;
}
