// The instrument that is to sound a performance: which velocity gives which level on it. The model
// speaks in levels; this is where they meet an instrument that does not follow the law.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "score/level_table.h"
#include "score/performance.h"
#include "score/score.h"
#include "shape/note_levels.h"

namespace arsis {

inline constexpr std::size_t kPrograms = 128;

// Nothing in it: everything follows the law L = 40 log10(v / 127), and velocities are as ever.
struct Instrument {
  std::array<SharedLevels, kPrograms> by_program;  // by MIDI program from 0
  std::vector<SharedLevels> by_part;  // one for each of Score::parts, or none at all; a part's own
                                      // goes before its program's

  bool follows_law() const;
};

// The program, from 0, that each note of the score sounds with: that of the last program change on
// its channel before it, 0 where there is none. A change at the note's own moment counts unless it
// follows a note of its track there, just as when it is played (sound/timeline.h). Banks, and
// resets by system-exclusive, are not looked at.
std::vector<std::uint8_t> programs_of(const Score& score);

// The table of every note of the score, null where it follows the law. Drums (channel 10) have
// programs of another kind: only a table of their part counts.
std::vector<const LevelTable*> tables_of(const Score& score, const Instrument& instrument);

// Gives every note whose instrument has a table the velocity that sounds at its level there, never
// above it.
void apply_instrument(std::vector<PerformedNote>& notes, std::span<const NoteLevel> levels,
                      const Score& score, const Instrument& instrument);

}  // namespace arsis
