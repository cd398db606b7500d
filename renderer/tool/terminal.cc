#include "tool/terminal.h"

#include <poll.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <csignal>
#include <cstdio>
#include <thread>

namespace arsis {
namespace {

constexpr std::size_t kUsualWidth = 80;

// For restore_terminal(): what the terminal that is taken was before.
termios g_before{};
volatile std::sig_atomic_t g_taken = 0;

std::size_t width() {
  winsize size{};
  if (::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return kUsualWidth;
  return size.ws_col;
}

bool ready(std::chrono::milliseconds wait) {
  pollfd input{.fd = STDIN_FILENO, .events = POLLIN, .revents = 0};
  return ::poll(&input, 1, static_cast<int>(wait.count())) > 0;
}

std::optional<char> next_byte(std::chrono::milliseconds wait) {
  char byte = 0;
  if (!ready(wait) || ::read(STDIN_FILENO, &byte, 1) != 1) return std::nullopt;
  return byte;
}

}  // namespace

Terminal::Terminal() {
  if (::isatty(STDIN_FILENO) == 0 || ::isatty(STDERR_FILENO) == 0) return;
  // In the background, asking for keys would stop the program.
  if (::tcgetpgrp(STDIN_FILENO) != ::getpgrp()) return;
  if (::tcgetattr(STDIN_FILENO, &before_) != 0) return;
  termios raw = before_;
  raw.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
  raw.c_cc[VMIN] = 0;
  raw.c_cc[VTIME] = 0;
  raw.c_cc[VSUSP] = _POSIX_VDISABLE;  // stopping in the middle would leave notes sounding
  g_before = before_;
  g_taken = 1;
  interactive_ = ::tcsetattr(STDIN_FILENO, TCSANOW, &raw) == 0;
}

Terminal::~Terminal() {
  if (!interactive_) return;
  clear();
  ::tcsetattr(STDIN_FILENO, TCSANOW, &before_);
  g_taken = 0;
}

std::optional<KeyPress> Terminal::read_key(std::chrono::milliseconds wait) {
  if (!interactive_) {
    std::this_thread::sleep_for(wait);
    return std::nullopt;
  }
  const auto byte = next_byte(wait);
  if (!byte) {
    // A terminal that has gone is always ready and never has anything.
    if (ready(std::chrono::milliseconds(0))) std::this_thread::sleep_for(wait);
    return std::nullopt;
  }
  if (*byte != '\x1b') {
    const auto letter = static_cast<unsigned char>(*byte);
    return KeyPress{Key::kOther, static_cast<char>(std::tolower(letter))};
  }
  // ESC [ D and ESC O D are the left arrow, as terminals have sent it since the VT100.
  constexpr std::chrono::milliseconds kSequence{20};
  const auto bracket = next_byte(kSequence);
  if (!bracket || (*bracket != '[' && *bracket != 'O')) return std::nullopt;
  auto last = next_byte(kSequence);
  while (last && (std::isdigit(static_cast<unsigned char>(*last)) != 0 || *last == ';')) {
    last = next_byte(kSequence);
  }
  if (!last) return std::nullopt;
  if (*last == 'D') return KeyPress{Key::kLeft};
  if (*last == 'C') return KeyPress{Key::kRight};
  return std::nullopt;
}

void Terminal::show(std::string_view line) {
  if (!interactive_) return;
  std::string text = "\r";
  text += line.substr(0, width() - 1);
  text += "\x1b[K";
  static_cast<void>(std::fputs(text.c_str(), stderr));
  std::fflush(stderr);
  shown_ = true;
}

void restore_terminal() {
  if (g_taken != 0) ::tcsetattr(STDIN_FILENO, TCSANOW, &g_before);
}

void Terminal::clear() {
  if (!shown_) return;
  static_cast<void>(std::fputs("\r\x1b[K", stderr));
  std::fflush(stderr);
  shown_ = false;
}

}  // namespace arsis
