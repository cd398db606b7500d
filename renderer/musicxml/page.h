// The printed page as its file has it, before anything is played: measures with their notes and
// signs, times counted from each measure's beginning.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "musicxml/playing_order.h"
#include "plan/marks.h"
#include "score/bars.h"

namespace arsis {

using Ticks = std::int64_t;  // of Page::division
inline Beats beats_of(Ticks ticks, int division) {
  return {static_cast<double>(ticks) / static_cast<double>(division)};
}

inline constexpr int kMostStaves = 8;  // of one part
// Less than a 32nd of a quarter note, the shortest that is in use (a 128th note), is rounding: some
// exports write the parts of a tuplet in whole divisions.
inline constexpr int kSlackParts = 32;

// How a grace note takes its time. MusicXML 4.0, element `grace`.
struct GraceTime {
  int place = 0;                         // in its group, from 0; a chord shares one
  int count = 1;                         // of the group
  std::optional<double> steal_previous;  // ratio 0..1 of the note before, for the whole group
  std::optional<double> steal_following;
};

// A slur that begins or ends at a note. Slurs of one number do not overlap in a part.
struct PageSlur {
  int number = 1;
  bool begins = false;
};

struct PageNote {
  Ticks onset = 0;   // from the measure's beginning; of a grace note that of its principal note
  Ticks length = 0;  // likewise
  int key = 60;      // as it sounds, 0..127
  int staff = 1;
  int voice = 1;
  bool tied_from = false;  // goes on from a note of this key before it
  bool tied_to = false;    // goes on in the next note of this key
  std::optional<GraceTime> grace;
  MarkSet marks;                   // a breath is one too
  bool caesura = false;            // a breath of the whole instrument
  std::optional<double> loudness;  // ratio to forte, `dynamics` of the element; 0..1.5
  std::vector<PageSlur> slurs;
  Place place;
  std::string id;  // of its element; made where it has none
};

enum class SignKind : std::uint8_t {
  kDynamic,     // `step`
  kLoudness,    // `number` times forte, for what sounds; not printed
  kForteMark,   // sf and its kin over whatever begins there
  kFortePiano,  // lifted there
  kHairpin,     // or "cresc.", "dim."; to `end`, else to the next dynamic
  kFermata,     // over a rest or a bar line, `length` long
  kPedalDown,
  kPedalUp,
  kPedalChange,
};

// A moment of the page, in the order it is printed.
struct PageMoment {
  std::size_t measure = 0;
  Ticks at = 0;  // from its beginning
};

// Something that stands in the page's measure beside its notes.
struct PageSign {
  Ticks at = 0;
  SignKind kind = SignKind::kDynamic;
  int staff = 0;      // that it holds for alone; 0: for the whole instrument
  int stands_at = 0;  // the staff that the file names; 0: none
  int step = 0;       // steps from mf
  bool rises = false;
  bool from_nothing = false;
  bool to_nothing = false;
  std::optional<PageMoment> end = {};  // of a hairpin
  double ratio = 1.0;
  Ticks length = 0;
  Place place;
};

enum class TempoKind : std::uint8_t {
  kMark,     // quarter notes a minute
  kName,     // "Andante": beats a minute of the signature
  kEqual,    // one note value lasts as another before: ratio to the tempo before
  kGradual,  // "rit.": by little and little to the ratio
  kAtOnce,   // "ritenuto", "meno mosso": the ratio from here on
  kBack,     // "a tempo": the tempo that was marked last
  kFirst,    // "tempo primo"
};

struct PageTempo {
  Ticks at = 0;
  TempoKind kind = TempoKind::kMark;
  double number = 120.0;               // of a minute, or a ratio; above 0
  bool is_sound = false;               // said by an element `sound`, which has the last word
  std::optional<PageMoment> end = {};  // of a gradual one whose dashes end
  Place place;
};

struct PageKey {
  int sharps = 0;  // -7..7
  bool minor = false;
};

// A measure of one part.
struct PartMeasure {
  std::vector<PageNote> notes;
  std::vector<PageSign> signs;  // in the file's order
  Ticks reached = 0;            // the farthest moment that its notes, rests and forwards come to
};

struct PageMeasure {
  int number = 0;          // as printed
  bool is_counted = true;  // false: "implicit", a pickup or the rest of a measure that was divided
  MeasureSigns signs;
  std::optional<TimeSignature> signature;  // in force; read_page() leaves none without
  std::optional<PageKey> key;              // where it changes
  std::vector<PageTempo> tempos;
  Ticks length = 0;
  std::vector<PartMeasure> parts;  // one for each of Page::parts
};

struct PagePart {
  std::string id;
  std::string name;
  int staves = 1;
  std::optional<int> program;  // General MIDI, from 0
};

struct Page {
  std::string title;
  int division =
      480;  // ticks per quarter note: every duration of the file is a whole number of them
  std::vector<PagePart> parts;
  std::vector<PageMeasure> measures;
};

}  // namespace arsis
