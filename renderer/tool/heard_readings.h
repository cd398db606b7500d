// The readings of a passage that are heard side by side: which there are, what speaks for each, and
// how each is performed.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "draft/mains.h"
#include "plan/readings.h"
#include "sound/player.h"
#include "tool/load.h"
#include "tool/prepare.h"

namespace arsis {

// Of one run: their sound waits for the softest of them.
inline constexpr std::size_t kMostReadings = 24;

struct HeardReading {
  std::string name;       // "motif 2 leads"; of two plans the plan's file
  std::string evidence;   // in one line; never empty
  bool is_own = false;    // what the plan itself says
  Reading reading;        // of a block
  bool is_other = false;  // of two plans: the second
};

// What is compared. Of a block its readings; of two plans these.
struct Audition {
  Prepared plan;
  std::optional<Prepared> other;  // the plan that it is compared with; then there is no block
  std::optional<LedBlock> block;
  Layers layers;
  std::string passage;  // "phrase 2.1", "the piece"
  std::vector<HeardReading> readings;

  const Loaded& loaded() const { return plan.loaded; }
};

// Which block the words name: --phrase, --sentence, or the piece. The words are those of a passage
// that the plan has.
LedBlock block_of(const PassageOptions& words);
// "phrase 2.1", "sentence 2", "the piece".
std::string name_of(const LedBlock& block);

// What speaks for each main of the piece's blocks; none where the piece has no blocks.
std::optional<Mains> mains_for(const Loaded& loaded);

// The block's readings, the plan's own first, with what the score says for each.
std::vector<HeardReading> readings_heard(const Loaded& loaded, const LedBlock& block,
                                         const Mains& mains);

// The two plans, each with the mains that it has otherwise within the span.
std::vector<HeardReading> plans_heard(const Loaded& plan, const Loaded& other, Span span);

// "motif 2 leads (yours): climbs to G5"; of a score alone "(drafted)" instead.
std::string line_of(const HeardReading& heard, bool is_score_alone);

// A reading's passage. The block is the audition's.
Excerpt perform_reading(const Audition& audition, const HeardReading& heard);

// The same ready to be played live, once.
struct PlayedReading {
  std::shared_ptr<const Rendition> rendition;
  PlayerSettings settings;
  Beats moved;  // added to a moment of the score gives that of the rendition
};
PlayedReading played_reading(const Audition& audition, const HeardReading& heard, Decibels gain);

}  // namespace arsis
