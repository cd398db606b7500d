// A gain for each of several renderings of the same music, so that they are equally loud and only
// their shapes are compared.
#pragma once

#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"
#include "sound/common_gain.h"
#include "sound/rendering.h"

namespace arsis {

// One gain for each rendering: all come down to the loudness of the softest, each measured alone
// (integrated, with its own gates). Then all go up or down alike to the target's loudness, where it
// has one, and are lowered alike so that no true peak passes the target's limit, -1 dBTP where it
// says nothing. Without a target nothing is turned up, so that none passes the ceiling at which it
// was rendered.
//   set  with meters; may be empty
// Warning: one of them has no loudness (silence, or less than 400 ms of sound); then they are not
// matched, and lowered by their peaks only.
Result<std::vector<Decibels>> matched_gains(std::span<const Rendered> set,
                                            const LevelTarget& target = {});
// The same for what was measured elsewhere.
Result<std::vector<Decibels>> matched_gains(std::span<const LoudnessMeter* const> meters,
                                            const LevelTarget& target = {});

}  // namespace arsis
