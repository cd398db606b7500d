// What the commands say: diagnostics on standard error, one progress line on a terminal.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace arsis {

// Bytes of a name, a title or a reason in what is printed as JSON: the rest is cut off.
inline constexpr std::size_t kLongestText = 1000;
// Bytes of a path in what is printed for people.
inline constexpr std::size_t kLongestPath = 4096;

// One line each, in order.
void report(const Diagnostics& diagnostics);
void report(const std::string& message);

// A progress line on standard error, only where that is a terminal; gone again at its end.
class Progress {
 public:
  explicit Progress(std::string_view what);
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress() { clear(); }
  // `done`: share of the work, 0..1.
  void show(double done);
  // Takes the line away.
  void clear();

 private:
  std::string what_;
  bool terminal_;
  int last_percent_ = -1;
};

}  // namespace arsis
