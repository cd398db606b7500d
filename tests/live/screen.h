// What a program has shown on its terminal.
#pragma once

#include <string>
#include <vector>

#include "live/process.h"

namespace arsis::test {

// What has been shown as the one line that is written over and over, in order, without repeats.
std::vector<std::string> status_lines(const Process& play);

// Waits until the last of them has these words in it.
bool shows(const Process& play, const std::string& words);

}  // namespace arsis::test
