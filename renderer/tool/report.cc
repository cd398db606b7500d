#include "tool/report.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace arsis {

namespace {

// Standard error may be closed or full; there is nobody to tell then, and no reason to stop.
void say(const std::string& text) { static_cast<void>(std::fputs(text.c_str(), stderr)); }

}  // namespace

void report(const Diagnostics& diagnostics) {
  for (const Diagnostic& diagnostic : diagnostics) report(to_string(diagnostic));
}

void report(const std::string& message) { say(message + "\n"); }

Progress::Progress(std::string_view what)
    : what_(what), terminal_(::isatty(::fileno(stderr)) != 0) {}

void Progress::clear() {
  if (terminal_ && last_percent_ >= 0) say("\r\x1b[K");
  last_percent_ = -1;
}

void Progress::show(double done) {
  const int percent = static_cast<int>(done * 100.0);
  if (!terminal_ || percent == last_percent_) return;
  last_percent_ = percent;
  say(fmt::format("\r{} {:3} %", what_, percent));
  std::fflush(stderr);
}

}  // namespace arsis
