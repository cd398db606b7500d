// Parts of what a page's script is told of the music, as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <span>
#include <string>

#include "page/system.h"
#include "score/time_map.h"

namespace arsis {

// As a script has them: rounded to tenths of a millisecond, and to what divides a beat into sixths
// of a tick and less.
double script_number(Seconds at);
double script_number(Beats at);

// [second, beat, second, beat, ...], both rising, beats being those of the score. The script's
// stretches go on beyond the ends (listening pages' TimeMap); two knots at least.
//   moved  added to a beat of the score gives that of the map
nlohmann::ordered_json knots_json(const TimeMap& time, Beats moved);

// [{begin, end, width, ways: [beat, x, ...]}, ...]
nlohmann::ordered_json systems_json(std::span<const DrawnSystem> systems);

// The text as it is written into a page: ASCII; bytes that are no UTF-8 are replaced.
std::string script_text(const nlohmann::ordered_json& json);

}  // namespace arsis
