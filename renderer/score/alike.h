// Whether two performances of the same notes are heard as one.
#pragma once

#include <algorithm>

#include "score/performance.h"

namespace arsis {

// The same in every note: when, how long, how loud. Both are of one score.
inline bool sounds_alike(const Performance& a, const Performance& b) {
  return std::ranges::equal(a.notes, b.notes, [](const PerformedNote& x, const PerformedNote& y) {
    return x.onset == y.onset && x.end == y.end && x.velocity == y.velocity && x.sounds == y.sounds;
  });
}

}  // namespace arsis
