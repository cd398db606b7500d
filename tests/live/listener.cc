// A MIDI instrument without sound: opens a port of the JACK server and prints every message that
// arrives there, as "nanoseconds of the steady clock: bytes in hexadecimal", a line each. A program
// of its own, because a process cannot outlive its JACK server in good health.
//
//   midi_listener CLIENT PORT
#include <RtMidi.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <string>
#include <vector>

namespace {

void print_line(const std::string& line) {
  // At once and whole.
  if (::write(STDOUT_FILENO, line.data(), line.size()) < 0) ::_exit(1);
}

void print_message(double, std::vector<unsigned char>* message, void*) {
  const auto now = std::chrono::steady_clock::now().time_since_epoch();
  std::string line =
      std::to_string(std::chrono::duration_cast<std::chrono::nanoseconds>(now).count()) + ":";
  for (const unsigned char byte : *message) {
    std::array<char, 4> text{};
    std::snprintf(text.data(), text.size(), " %02X", byte);
    line += text.data();
  }
  print_line(line + "\n");
}

}  // namespace

int main(int count, char** words) {
  if (count != 3) return 2;
  try {
    RtMidiIn input(RtMidi::UNIX_JACK, words[1]);
    input.setCallback(print_message);
    input.ignoreTypes(false, false, false);
    input.openVirtualPort(words[2]);
    print_line("ready\n");
    char end = 0;
    while (::read(STDIN_FILENO, &end, 1) > 0) {
    }
  } catch (const RtMidiError& error) {
    std::fprintf(stderr, "%s\n", error.getMessage().c_str());
    return 1;
  }
  return 0;
}
