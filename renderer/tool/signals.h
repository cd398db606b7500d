// Signals that ask a program to end, for commands that have something to put in order first.
#pragma once

#include <array>
#include <cstddef>

namespace arsis {

// Keeps them for as long as it is there. One that is asked a second time ends the program at once:
// who asks twice does not want to wait for a device.
class Signals {
 public:
  Signals();
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;
  ~Signals();

 private:
  std::array<void (*)(int), 4> before_{};
};

// The one that has come, 0 where none has.
int caught_signal();

// Ends the program as the signal that was caught would have.
void end_by_signal();

}  // namespace arsis
