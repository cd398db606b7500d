// How soon and how punctually `arsis play` sounds, as an instrument and a sound card meet it; for
// DEVELOPERS.md. Prints medians and percentiles; never part of the tests.
//
//   start_times [RUNS]
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "live/bench.h"

namespace arsis::test {
namespace {

double share(std::vector<double> of, double wanted) {
  std::ranges::sort(of);
  return of[std::min(of.size() - 1, static_cast<std::size_t>(wanted * double(of.size())))];
}

void print(const char* what, const std::vector<double>& milliseconds) {
  fmt::print("{}: median {:.1f} ms, slowest {:.1f} ms of {}\n", what, share(milliseconds, 0.5),
             share(milliseconds, 1.0), milliseconds.size());
}

double milliseconds_since(Clock::time_point begin, Clock::time_point end) {
  return std::chrono::duration<double, std::milli>(end - begin).count();
}

// From the start of the process to the first note at the port, its connection included.
void measure_port(int runs) {
  const Bench bench;
  std::vector<double> times;
  for (int run = 0; run < runs; ++run) {
    const Receiver receiver(shared_server());
    const auto begin = Clock::now();
    Process play(bench.play(shared_server(), {"--port", "piano", "--to", "1:2"}));
    play.wait();
    const std::vector<Heard> heard = receiver.all();
    times.push_back(milliseconds_since(begin, std::ranges::find_if(heard, &Heard::is_on)->at));
  }
  print("first note at a MIDI port", times);
}

// From the start of the process to its sound at a sound card: a client of the server's that listens
// to its outputs.
void measure_audio(int runs) {
  const Bench bench;
  std::vector<double> times;
  for (int run = 0; run < runs; ++run) {
    Process ear({.words = {SOUND_LISTENER}, .environment = shared_server().environment()});
    wait_until([&] { return ear.out().starts_with("ready\n"); });
    const auto begin = Clock::now();
    Process play(bench.play(shared_server(), {"--driver", "jack", "--to", "1:3"}));
    play.wait();
    ear.end_input();
    ear.wait();
    const std::string out = ear.out();
    if (out.size() <= 6) continue;
    const Clock::time_point heard{std::chrono::nanoseconds(std::stoll(out.substr(6)))};
    times.push_back(milliseconds_since(begin, heard));
  }
  if (!times.empty()) print("first sound at a JACK server", times);
}

// How far apart from the performance's times messages arrive, once the usual delay is taken off.
void measure_lateness() {
  const Bench bench;
  std::vector<double> off;
  while (off.size() < 1000) {
    const Receiver receiver(shared_server());
    Process play(bench.play(shared_server(), {"--port", "piano", "--tempo", "300%"}));
    play.wait();
    const std::vector<Heard> heard = receiver.all();
    PassageOptions passage;
    passage.tempo = "300%";
    const auto rendition = bench.rendition(passage);
    std::vector<double> late;
    for (std::size_t i = 0; i < rendition->messages.size(); ++i) {
      if (!rendition->messages[i].is_on()) continue;
      late.push_back(milliseconds_since(heard[0].at, heard[i].at) -
                     rendition->messages[i].at.value * 1e3);
    }
    const double usual = share(late, 0.5);
    for (const double each : late) off.push_back(std::abs(each - usual));
  }
  fmt::print("notes at a MIDI port off their time: p50 {:.2f} ms, p99 {:.2f} ms, of {}\n",
             share(off, 0.5), share(off, 0.99), off.size());
}

}  // namespace
}  // namespace arsis::test

int main(int count, char** words) {
  const int runs = count > 1 ? std::atoi(words[1]) : 10;
  arsis::test::measure_port(runs);
  arsis::test::measure_audio(runs);
  arsis::test::measure_lateness();
  return 0;
}
