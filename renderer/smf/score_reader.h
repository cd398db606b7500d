// A score from a Standard MIDI File.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "score/score.h"
#include "smf/midi_file.h"

namespace arsis {

// Whether a file is meant to hold written music or what somebody played.
enum class Origin : std::uint8_t { kWritten, kPlayed };

// Notes, parts, bars, tempo, keys; every other message as it is. Warnings, each naming track and
// byte: hanging notes (ended with their track), a key struck again before it was released (ended
// there), note ends without a note (left out), notes without length (one tick long), impossible
// time signatures and tempos (left out); and, of what should be written, one where the whole looks
// played rather than quantized. Errors: no notes at all; any event after Score::kLongest; more than
// Bars::kMostBars bars.
Result<Score> score_of(const MidiFile& file, const std::string& name,
                       Origin origin = Origin::kWritten);

// Reads the file and makes a score of it.
Result<Score> read_score(const std::filesystem::path& path, Origin origin = Origin::kWritten);

}  // namespace arsis
