#include "live/screen.h"

#include <utility>

namespace arsis::test {

std::vector<std::string> status_lines(const Process& play) {
  const std::string screen = play.screen();
  std::vector<std::string> lines;
  for (std::size_t end = screen.find("\x1b[K"); end != std::string::npos;
       end = screen.find("\x1b[K", end + 1)) {
    const std::size_t begin = screen.rfind('\r', end) + 1;
    std::string line = screen.substr(begin, end - begin);
    if (lines.empty() || lines.back() != line) lines.push_back(std::move(line));
  }
  return lines;
}

bool shows(const Process& play, const std::string& words) {
  return wait_until([&] {
    const std::vector<std::string> lines = status_lines(play);
    return !lines.empty() && lines.back().find(words) != std::string::npos;
  });
}

}  // namespace arsis::test
