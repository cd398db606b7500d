// Another program asked for one answer: run without a shell, given a text, bounded in time and in
// what it may answer.
#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace arsis {

struct ChildLimits {
  std::chrono::milliseconds time{60'000};
  std::size_t answer = std::size_t{64} << 20;  // bytes
};

enum class ChildEnd {
  kAnswered,    // and ended; `status` says how
  kNotStarted,  // there is no such program, or no room for it
  kTooLong,     // had to be ended
  kTooMuch,     // likewise
};

struct ChildAnswer {
  ChildEnd end = ChildEnd::kNotStarted;
  int status = 0;  // its exit code; of one that a signal ended, less than 0
  std::string out;
};

// Runs `words` (the first is the program, looked for in PATH where it is no path) with `input` as
// its standard input, and collects its standard output until that is closed and it has ended. What
// it says on standard error is dropped. It is gone when this returns. Nothing is left in the file
// system: the input lies in a file without a name.
ChildAnswer ask_child(const std::vector<std::string>& words, std::string_view input,
                      const ChildLimits& limits);

}  // namespace arsis
