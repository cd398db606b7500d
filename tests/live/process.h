// Another program at work beside the test: started, typed at, signalled, waited for, and gone with
// the object whatever happens.
#pragma once

#include <sys/types.h>
#include <termios.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis::test {

using Clock = std::chrono::steady_clock;
using namespace std::chrono_literals;

// Looks again and again until it holds; false where it does not within the time. Generous: it is
// there to end a test that hangs, not to hold anything to a time.
bool wait_until(const std::function<bool()>& holds, Clock::duration most = 20s);

struct Command {
  std::vector<std::string> words;
  std::vector<std::string> environment = {};  // "NAME=value", beside what the test has itself
  std::filesystem::path folder = ".";
  int columns = 0;         // above 0: it has a terminal of its own, that many columns wide
  std::string input = {};  // waits in its standard input, where it has no terminal
};

class Process {
 public:
  explicit Process(const Command& command);
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;
  ~Process();

  void signal(int number) const;
  // Waits for its end: the exit code, or the number of the signal that ended it as a negative; none
  // where it goes on.
  std::optional<int> wait(Clock::duration most = 20s);
  // Its standard input is at its end.
  void end_input();
  bool running() { return !wait(0ms); }

  std::string out() const { return aside_.read("out"); }
  std::string err() const { return aside_.read("err"); }

  // Only with a terminal.
  void type(std::string_view keys) const;
  std::string screen() const;      // all that was written to it so far, as bytes
  termios terminal_state() const;  // as it is now
  void hang_up();                  // the terminal goes, as a window that is closed

 private:
  void watch_screen();

  Folder aside_;
  pid_t pid_ = -1;
  int terminal_ = -1;  // our end of it
  int input_ = -1;     // kept open, so that the input has no end
  std::optional<int> ended_;
  mutable std::mutex mutex_;
  std::string screen_;
  std::atomic<bool> closing_ = false;
  std::thread watcher_;
};

}  // namespace arsis::test
