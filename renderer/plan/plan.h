// The plan as its file says it, not yet laid over a score: positions are bar and beat, parts are
// names. plans/README.md documents the format for those who write it.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"
#include "plan/tuning.h"
#include "score/bars.h"
#include "score/level_table.h"
#include "score/score.h"

namespace arsis {

// Line and column in the plan's file, from 1.
struct Place {
  int line = 0;
  int column = 0;
  friend auto operator<=>(const Place&, const Place&) = default;
};

struct WrittenPosition {
  Position position;
  Place place;
};

// "1 bar", "1/2 beat": beats are those of the time signature in force.
struct WrittenLength {
  enum class Unit : std::uint8_t { kBar, kBeat };
  double number = 1.0;  // in that unit, 0.001..1000
  Unit unit = Unit::kBar;
  Place place;
};

// What a `shape:` says, and nothing about what it leaves as it was.
struct ShapeOverrides {
  std::vector<std::pair<Constant, double>> constants;  // in the unit of the table
  std::optional<Diminuendo> diminuendo;
  std::optional<Keep> keep;

  bool empty() const { return constants.empty() && !diminuendo && !keep; }
};
Tuning overridden(Tuning tuning, const ShapeOverrides& overrides);

// As `hand:` says it, by Hand; a part that says nothing is both hands'.
inline constexpr std::array<std::string_view, 3> kHandNames = {"", "right", "left"};

struct PartPlan {
  std::string name;
  std::optional<int> track;    // among the tracks that hold notes, from 1
  std::optional<int> channel;  // 1..16
  Hand hand = Hand::kBoth;     // one hand of a track that both share
  Role role = Role::kAccompaniment;
  std::optional<Decibels> balance;  // at most 0 dB; none: the role's
  SharedLevels levels;              // of its instrument; null: the plan's
  Place place;
};

// A printed dynamic, or a hairpin when `to` is there.
struct DynamicPlan {
  WrittenPosition from;
  std::optional<WrittenPosition> to;
  bool rises = false;       // a hairpin's way
  std::optional<int> step;  // of the mark, or of the mark the hairpin ends on
  std::string part;         // empty: every part
  Place place;
};

enum class Mark : std::uint8_t {
  kAccent,
  kMarcato,
  kTenuto,
  kStaccato,
  kStaccatissimo,
  kPortato,
  kFermata,
  kSforzato,    // sf, sfz, fz, rf, rfz: an accent of one dynamic step
  kFortePiano,  // fp: one note forte, then piano
  kBreath,
  kArpeggio,  // a chord is rolled, from its lowest note up
};

struct MarkPlan {
  Mark mark = Mark::kAccent;
  WrittenPosition from;
  std::optional<WrittenPosition> to;  // every note from `from` to `to`, both included
  std::string part;                   // empty: every part
  Place place;
};

// Names entries that the page prints, of dynamics or of marks, so that they do not hold.
struct RemovePlan {
  WrittenPosition from;
  std::optional<WrittenPosition> to;  // all that begin from `from` to `to`, both included
  std::optional<int> step;            // of dynamics: marks of this step, or hairpins that end on it
  std::optional<bool> rises;          // of dynamics: hairpins of this way
  std::optional<Mark> mark;           // of marks: this one
  std::string part;                   // empty: every part
  Place place;
};

// What becomes of what the page prints of one kind.
struct PageChanges {
  bool all_replaced = false;  // the plan's list stands for all of it
  std::vector<RemovePlan> removed;
};

struct MotifPlan {
  std::optional<WrittenPosition> to;  // none: one even cell
  std::optional<WrittenLength> length;
  std::optional<WrittenPosition> goal;  // none: the arrival of the last interval
  ShapeOverrides shape;
  Place place;
};

struct PhrasePlan {
  std::vector<MotifPlan> motifs;
  std::size_t main = 0;  // index of the main motif
  ShapeOverrides shape;
  Place place;
};

struct SentencePlan {
  std::vector<PhrasePlan> phrases;  // empty where `like` is given
  // Index of the earlier sentence, itself written out, whose lengths and mains it takes.
  std::optional<std::size_t> like;
  std::size_t main = 0;                 // index of the main phrase
  std::optional<WrittenPosition> from;  // sets the cell anew
  std::optional<WrittenLength> length;  // of the cell from here on
  ShapeOverrides shape;
  Place place;
};

// Of a whole plan, those of sentences that are like others included: two for each bar of the
// longest score.
inline constexpr std::size_t kMostMotifs = 200'000;

struct Plan {
  std::string file;
  std::string title;
  std::string score;  // as written: relative to the plan's folder
  Place score_place;
  std::optional<WrittenLength> pickup;
  std::vector<PartPlan> parts;
  SharedLevels levels;                // of the instrument that plays; null: it follows the law
  std::vector<DynamicPlan> dynamics;  // in place of the page's, or beside them
  PageChanges page_dynamics;
  std::vector<MarkPlan> marks;
  PageChanges page_marks;
  std::optional<WrittenLength> cell;         // the even motif
  std::optional<WrittenPosition> cell_from;  // where the first one starts
  Place sentences_place;
  std::vector<SentencePlan> sentences;
  std::optional<std::size_t> main;  // index of the piece's main sentence
  Place main_place;
  ShapeOverrides shape;

  Where where(Place place) const { return {file, place.line, place.column, {}}; }
};

}  // namespace arsis
