// How loud a SoundFont sounds at each velocity: every program measured over the keyboard, note by
// note, in the sound that our synthesizer makes of it.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"
#include "score/level_table.h"

namespace arsis {

struct SurveyRequest {
  std::filesystem::path soundfont;
  std::vector<int> programs = {};         // MIDI programs 0..127, each once
  std::vector<int> keys = {};             // 0..127; empty: every sixth from C1 to F#7
  std::vector<Velocity> velocities = {};  // empty: 1, 8, 16 ... 120, 127
  // Share done, rising from 0 to 1; called on the caller's thread; may be empty.
  std::function<void(double)> progress = {};
};

// By MIDI program from 0. A table is empty where the program sounds on no key.
using LevelSurvey = std::map<int, LevelTable>;

// The programs that the SoundFont has for melodies (bank 0), from 0, rising. Errors: it cannot be
// loaded. [main thread]
Result<std::vector<int>> melodic_programs(const std::filesystem::path& soundfont);

// The level of a note: the power of both channels over its first 300 ms, without reverb, at 48,000
// frames a second; each note on a synthesizer in which nothing else sounds. A program that the
// SoundFont lacks sounds as the one that the synthesizer plays in its place. Keys and velocities
// without any sound are left out. Works on every core. Errors: the SoundFont cannot be loaded.
// [main thread]
Result<LevelSurvey> survey_levels(const SurveyRequest& request);

}  // namespace arsis
