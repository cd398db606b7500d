// A plan laid over its score: blocks as stretches of beats with goals, dynamics as stretches, marks
// on notes, parts with their roles. Everything the model needs, and nothing that it would have to
// look up by name.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "plan/marks.h"
#include "plan/plan.h"
#include "plan/printed.h"
#include "plan/tuning.h"
#include "score/score.h"

namespace arsis {

struct Block {
  Span span;
  Beats goal;                // within the span
  std::uint32_t parent = 0;  // index of the block of the next higher level that holds it
  std::uint32_t first = 0;   // index of its first member in the next lower level (of a motif: 0)
  std::uint32_t count = 0;   // of its members (of a motif: 0)
  std::uint32_t main = 0;    // index of its main member in the next lower level
  std::uint32_t tuning = 0;  // index into BoundPlan::tunings
  bool is_main = false;      // the main member of its parent
  Place place;
};

struct BoundPart {
  std::string name;
  Role role = Role::kAccompaniment;
  Decibels balance;            // at most 0 dB
  std::uint16_t dynamics = 0;  // index into BoundPlan::dynamics
  SharedLevels levels;         // of its instrument, as the plan has them; null: it follows the law
};

// Where something in force is written: in the plan, or on the score's page.
struct Source {
  bool on_page = false;
  Place place;
};

struct DynamicSource {
  Source source;
  std::optional<Place> instead_of;  // on the page, of what it puts out of force; the first such
};

// An entry of the plan or the page that marks something, breaths apart. `index` is into
// Plan::marks; of the page's into Printed::fermatas for a fermata, into Printed::marks for all
// others.
struct MarkSource {
  Mark mark = Mark::kAccent;
  bool on_page = false;
  std::uint32_t index = 0;
  std::uint32_t notes = 0;  // how many it marks; of the page's fermatas: 0
};

// A stretch of the written dynamics: a mark that holds until the next stretch, or a hairpin.
struct DynamicStretch {
  Beats from;
  Beats to;            // of a hairpin its end; of a mark `from`
  int begin_step = 0;  // steps from mf, as dynamic_step() counts
  int end_step = 0;
  bool falls = false;        // a written diminuendo
  std::uint32_t source = 0;  // index into BoundPlan::dynamic_sources
  bool is_hairpin() const { return from < to; }
};
// In order, without overlap. Empty: the score's own velocities are the ceiling.
using DynamicLine = std::vector<DynamicStretch>;

struct Fermata {
  Span span;  // the note, or the beat of rest, that is held
};

struct BreathMark {
  Beats at;
  std::vector<bool> parts;  // for each score part: whether it breathes
  Source source;
};

struct BoundPlan {
  std::vector<Block> motifs;  // in order, without overlap; so are all levels
  std::vector<Block> phrases;
  std::vector<Block> sentences;
  std::vector<Block> piece;           // one, where the plan names a main sentence; else none
  std::vector<Tuning> tunings;        // the first is the piece's
  std::vector<BoundPart> parts;       // one for each of Score::parts
  std::vector<DynamicLine> dynamics;  // at least one; parts with the same share it
  std::vector<MarkSet> marks;         // one for each note; empty where there are none
  std::vector<Fermata> fermatas;      // by time, without overlap
  std::vector<BreathMark> breaths;    // by time
  std::vector<DynamicSource> dynamic_sources;
  std::vector<MarkSource> mark_sources;  // of all that marks something
  std::vector<std::size_t> melody;       // notes of the line that blocks lead along, by onset

  const std::vector<Block>& level(Level level) const;
  const Tuning& tuning() const { return tunings.front(); }
  MarkSet marks_of(std::size_t note) const { return marks.empty() ? MarkSet{} : marks[note]; }
};

// "2.1.3" for a motif, "2.1" for a phrase, "2" for a sentence: its place in each level, from 1.
std::string block_name(const BoundPlan& plan, Level level, std::size_t index);

// The score with its bars counted as the plan's `pickup:` says; as it is where the plan says
// nothing.
Score with_plan_pickup(Score score, const Plan& plan);

// The score with those tracks told apart into hands of which the plan's parts name one (`hand:`);
// as it is where none does. Not for a score with a page: its staves tell the hands apart, and its
// marks know notes by their places.
Score with_plan_hands(Score score, const Plan& plan);

// Lays the plan over the score, whose bars already follow the plan's pickup, and whose hands its
// parts. Errors: positions that
// the score does not have, parts that it lacks, blocks that overlap or run past the end, dynamics
// that contradict one another. Warnings: what common practice would question.
// `printed` is what that score's page prints. It holds as far as the plan says nothing else, and is
// only ever warned of. From low to high rank: the page's dynamics of an instrument, its dynamics of
// one staff, the plan's for all parts, the plan's for one part; what a higher one contradicts is
// dropped for that part.
Result<BoundPlan> bind_plan(const Plan& plan, const Score& score, const Printed& printed = {});

}  // namespace arsis
