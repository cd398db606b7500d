// A terminal that is played at: keys without Enter, and one line that is written over and over.
#pragma once

#include <termios.h>

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace arsis {

enum class Key : std::uint8_t { kLeft, kRight, kOther };
struct KeyPress {
  Key key = Key::kOther;
  char letter = 0;  // of kOther: small, a blank among them
};

class Terminal {
 public:
  // Takes standard input and standard error, where both are a terminal and this program is in its
  // foreground; otherwise does nothing ever.
  Terminal();
  Terminal(const Terminal&) = delete;
  Terminal& operator=(const Terminal&) = delete;
  ~Terminal();  // as it was before

  bool interactive() const { return interactive_; }
  // Waits for a key, at most so long; without a terminal just waits. Keys it does not know are
  // passed over.
  std::optional<KeyPress> read_key(std::chrono::milliseconds wait);
  // Writes the line over the one before, cut to the terminal's width.
  void show(std::string_view line);
  void clear();

 private:
  bool interactive_ = false;
  bool shown_ = false;
  termios before_{};
};

// Gives back a terminal that is taken. For a signal handler: asks for no memory, locks nothing; the
// process should end then.
void restore_terminal();

}  // namespace arsis
