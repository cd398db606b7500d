// Signals that end a program which plays: silence first, then it ends as the signal says.
#pragma once

#include <array>
#include <csignal>

namespace arsis {

// While it lives, Ctrl-C and its kin are only remembered; who asks twice does not wait.
class StopSignals {
 public:
  StopSignals();
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;
  ~StopSignals();  // as they were before

  // The one that has come; 0 where none has.
  static int caught();
  // Ends the program by the signal that has come; does nothing where none has.
  static void obey();

 private:
  static constexpr std::array<int, 4> kSignals = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};
  std::array<void (*)(int), 4> before_{};
};

}  // namespace arsis
