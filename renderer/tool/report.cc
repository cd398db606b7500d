#include "tool/report.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>

namespace arsis {

void report(const Diagnostics& diagnostics) {
  for (const Diagnostic& diagnostic : diagnostics) {
    fmt::print(stderr, "{}\n", to_string(diagnostic));
  }
}

Progress::Progress(std::string_view what)
    : what_(what), terminal_(::isatty(::fileno(stderr)) != 0) {}

void Progress::clear() {
  if (terminal_ && last_percent_ >= 0) fmt::print(stderr, "\r\x1b[K");
  last_percent_ = -1;
}

void Progress::show(double done) {
  const int percent = static_cast<int>(done * 100.0);
  if (!terminal_ || percent == last_percent_) return;
  last_percent_ = percent;
  fmt::print(stderr, "\r{} {:3} %", what_, percent);
  std::fflush(stderr);
}

}  // namespace arsis
