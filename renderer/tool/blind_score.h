// What a blind test has shown, in words.
#pragma once

#include <string>

namespace arsis {

struct BlindScore {
  int pairs = 0;                // that were meant to be heard, 1..kMostTrials
  int asked = 0;                // that were answered
  int right = 0;                // of these
  std::string amount = "100%";  // as --amount says it
};

// "10 of 12 right: better than chance (p = 0.019), at --amount 100%". The p-value is that of
// at_least_by_chance(); under 0.05 it is called better than chance. A test that was left off early
// has none: whoever may stop when it goes well would always win. Of fewer than five pairs none is
// under 0.05, and it says so.
std::string words_of(const BlindScore& score);

}  // namespace arsis
