// A score from a Standard MIDI File.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "score/score.h"
#include "smf/midi_file.h"

namespace arsis {

// Notes, parts, bars, tempo, keys; every other message as it is. Warnings, each naming track and
// byte: hanging notes (ended with their track), a key struck again before it was released (ended
// there), note ends without a note (left out), notes without length (one tick long), impossible
// time signatures and tempos (left out); and one where the whole looks played rather than
// quantized. Errors: no notes at all; any event after Score::kLongest; more than Bars::kMostBars
// bars.
Result<Score> score_of(const MidiFile& file, const std::string& name);

// Reads the file and makes a score of it.
Result<Score> read_score(const std::filesystem::path& path);

}  // namespace arsis
