#include "musicxml/measure_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>

#include "base/text.h"
#include "musicxml/direction_reader.h"
#include "musicxml/note_signs.h"
#include "musicxml/page_layout.h"

namespace arsis {
namespace {

constexpr double kMostQuarters = 10'000.0;  // of a single duration
constexpr int kFinestBeat = 64;
constexpr int kMostTimes = 32;          // that a section is played
constexpr std::size_t kMostPairs = 16;  // of beats and beat-type in one time signature
constexpr int kMostVoice = 64;

int semitone_of(char step) {
  constexpr std::string_view kSteps = "C D EF G A B";
  const std::size_t found = kSteps.find(step);
  return found == std::string_view::npos || step == ' ' ? -1 : static_cast<int>(found);
}

// "3+2" is 5; 0 where it is no sum of whole numbers.
int beats_printed(std::string_view text) {
  int sum = 0;
  while (!text.empty()) {
    const std::size_t plus = text.find('+');
    const auto number = parse_integer(trimmed(text.substr(0, plus)));
    if (!number || *number < 1 || *number > 255) return 0;
    sum += static_cast<int>(*number);
    text = plus == std::string_view::npos ? std::string_view() : text.substr(plus + 1);
  }
  return sum <= 255 ? sum : 0;
}

// "1, 2" or "1,2" or "1 2", "1." and "1-3"; what is no number of these is passed over.
std::vector<int> ending_numbers(std::string_view text) {
  std::vector<int> numbers;
  while (!text.empty()) {
    const std::size_t end = text.find_first_of(", ");
    std::string_view word = text.substr(0, end);
    while (word.ends_with('.')) word.remove_suffix(1);
    const std::size_t dash = word.find('-');
    const auto first = parse_integer(word.substr(0, dash));
    const auto last = dash == std::string_view::npos ? first : parse_integer(word.substr(dash + 1));
    if (first && last && *first >= 1 && *last <= kMostTimes) {
      for (auto number = *first; number <= *last; ++number) {
        numbers.push_back(static_cast<int>(number));
      }
    }
    text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
  }
  return numbers;
}

}  // namespace

Ticks ticks_of(pugi::xml_node duration, MeasureReading& reading) {
  const double value = duration.text().as_double();
  if (!duration || !std::isfinite(value) || value < 0.0) {
    if (duration) {
      reading.doubt(duration, "a duration is no number of 0 or more", "it is taken as 0");
    }
    return 0;
  }
  if (!reading.divisions) {
    reading.doubt(duration, "there is a duration before any 'divisions'",
                  "a quarter note is taken as one division");
    reading.divisions = 1;
  }
  const double quarters = value / *reading.divisions;
  if (quarters > kMostQuarters) {
    reading.doubt(duration, "a duration is longer than any note", "it is cut");
  }
  return std::llround(std::min(quarters, kMostQuarters) * reading.page.division);
}

MeasureReader::MeasureReader(const XmlDocument& document, Page& page, std::size_t part,
                             Doubts& doubts, std::size_t& signs)
    : reading_{document, page, part, doubts, signs} {}

void MeasureReader::read(pugi::xml_node measure, std::size_t index) {
  measure_ = &reading_.page.measures[index];
  reading_.measure = measure_;
  reading_.index = index;
  reading_.cursor = 0;
  last_onset_ = 0;
  last_length_ = 0;
  const std::size_t tempos_before = measure_->tempos.size();  // of other parts
  if (reading_.part == 0) read_number(measure);
  for (const pugi::xml_node node : measure.children()) read_child(node);
  place_graces(reading_.cursor, 0);  // after the last note: before the bar line
  if (reading_.is_full()) {
    reading_.doubt(measure, "there are more signs than in any score",
                   "those from here on are left out");
  }
  reading_.signs += reading_.here().signs.size() + measure_->tempos.size() - tempos_before;
  if (reading_.part != 0) return;
  if (measure_->signs.endings.empty()) measure_->signs.endings = endings_;
  if (closes_ending_) endings_.clear();
  closes_ending_ = false;
}

// In a score by measures (timewise) `measure` is the part within it.
void MeasureReader::read_number(pugi::xml_node measure) {
  if (std::strcmp(measure.name(), "part") == 0) measure = measure.parent();
  const std::string_view written = trimmed(measure.attribute("number").as_string());
  const std::size_t digits = std::min(written.find_first_not_of("0123456789"), written.size());
  const auto number = parse_integer(written.substr(0, digits));  // of "8a": 8
  const bool known = number && *number <= Bars::kMostBars;
  // "X1" and the like are for measures that are not counted; no number at all is a fault.
  measure_->is_counted = (known || written.empty()) &&
                         std::strcmp(measure.attribute("implicit").as_string(), "yes") != 0;
  measure_->number = known ? static_cast<int>(*number) : 0;
  if (!known && measure_->is_counted) {
    measure_->number = reading_.index == 0 ? 1 : (measure_ - 1)->number + 1;
  }
  measure_->signs.endings = endings_;
}

void MeasureReader::read_child(pugi::xml_node node) {
  const std::string_view name = node.name();
  if (name == "note") {
    read_note(node);
  } else if (name == "attributes") {
    read_attributes(node);
  } else if (name == "backup") {
    move(-ticks_of(node.child("duration"), reading_), node);
  } else if (name == "forward") {
    move(ticks_of(node.child("duration"), reading_), node);
  } else if (name == "direction") {
    read_direction(node, reading_);
  } else if (name == "sound" && !reading_.is_full()) {
    read_sound(node, reading_.cursor, reading_);
  } else if (name == "barline") {
    read_barline(node);
  }
}

void MeasureReader::move(Ticks by, pugi::xml_node node) {
  if (by < 0) place_graces(reading_.cursor, 0);  // they end the voice that is left
  reading_.cursor += by;
  if (reading_.cursor < 0) {
    reading_.doubt(node, "a 'backup' goes past the measure's beginning",
                   "it is taken as going to the beginning");
    reading_.cursor = 0;
  }
  Ticks& reached = reading_.here().reached;
  reached = std::max(reached, reading_.cursor);
}

void MeasureReader::read_attributes(pugi::xml_node attributes) {
  if (const pugi::xml_node divisions = attributes.child("divisions")) {
    const int value = divisions.text().as_int();
    if (value >= 1 && value <= kMostDivisions) {
      reading_.divisions = value;
    } else {
      reading_.doubt(divisions, "'divisions' is no whole number above 0",
                     "the one before it goes on");
    }
  }
  if (const pugi::xml_node time = attributes.child("time")) read_time(time);
  if (const pugi::xml_node key = attributes.child("key"); key.child("fifths")) {
    const int sharps = std::clamp(key.child("fifths").text().as_int(), -7, 7);
    const bool minor = std::strcmp(key.child("mode").text().as_string(), "minor") == 0;
    measure_->key = PageKey{sharps, minor};
  }
  if (const pugi::xml_node staves = attributes.child("staves")) {
    reading_.page.parts[reading_.part].staves = std::clamp(staves.text().as_int(), 1, kMostStaves);
  }
  for (const pugi::xml_node transpose : attributes.children("transpose")) {
    read_transpose(transpose);
  }
}

// Of one staff where it has a number, of all otherwise.
void MeasureReader::read_transpose(pugi::xml_node transpose) {
  const int staff = std::clamp(transpose.attribute("number").as_int(), 0, kMostStaves);
  if (staff == 0) transposed_.clear();
  transposed_[staff] = std::clamp(transpose.child("chromatic").text().as_int(), -48, 48) +
                       12 * std::clamp(transpose.child("octave-change").text().as_int(), -4, 4);
}

void MeasureReader::read_time(pugi::xml_node time) {
  // Several pairs are one signature of all their beats, in the finest unit.
  int unit = 1;
  std::vector<std::pair<int, int>> pairs;
  for (pugi::xml_node beats = time.child("beats"); beats; beats = beats.next_sibling("beats")) {
    const int count = beats_printed(beats.text().as_string());
    const int type = beats.next_sibling("beat-type").text().as_int();
    const bool is_power = type >= 1 && type <= kFinestBeat && (type & (type - 1)) == 0;
    if (count == 0 || !is_power || pairs.size() == kMostPairs) {
      reading_.doubt(time, "a time signature is none", "the one before it goes on");
      return;
    }
    pairs.emplace_back(count, type);
    unit = std::max(unit, type);
  }
  int sum = 0;
  for (const auto& [count, type] : pairs) sum += count * (unit / type);
  if (sum < 1 || sum > 255) return;
  measure_->signature = TimeSignature{sum, unit};
  reading_.signature = *measure_->signature;
}

std::optional<int> MeasureReader::key_of(pugi::xml_node note, int staff) {
  const pugi::xml_node pitch = note.child("pitch");
  const char* step = pitch.child("step").text().as_string();
  const int semitone = semitone_of(step[0]);
  if (semitone < 0) return std::nullopt;
  const double alter = pitch.child("alter").text().as_double();
  const int octave = std::clamp(pitch.child("octave").text().as_int(), -2, 12);
  if (!(std::abs(alter) <= 4.0)) return std::nullopt;
  if (alter != std::round(alter)) {
    reading_.doubt(pitch, "a note lies between the keys", "the nearest is played");
  }
  const auto own = transposed_.find(staff);
  const int transposed = own != transposed_.end() ? own->second : transposed_[0];
  const int key = 12 * (octave + 1) + semitone + static_cast<int>(std::lround(alter)) + transposed;
  if (key < 0 || key > 127) {
    reading_.doubt(pitch, "a note lies beyond the keys of MIDI", "it is left out");
    return std::nullopt;
  }
  return key;
}

// All of the note but its key; without length where it is a grace note.
PageNote MeasureReader::note_of(pugi::xml_node node) {
  const bool chord = static_cast<bool>(node.child("chord"));
  PageNote note;
  note.onset = chord ? last_onset_ : reading_.cursor;
  note.length = ticks_of(node.child("duration"), reading_);
  note.staff = std::clamp(node.child("staff").text().as_int(1), 1, kMostStaves);
  note.voice =
      chord ? last_voice_ : std::clamp(node.child("voice").text().as_int(1), 0, kMostVoice);
  read_ties(node, note);
  note.marks = marks_of(node);
  note.caesura = has_caesura(node);
  note.loudness = loudness_of(node.attribute("dynamics"));
  note.slurs = slurs_of(node);
  note.place = reading_.place(node);
  note.id = note_id_of(node, reading_.part, elements_);
  return note;
}

void MeasureReader::read_note(pugi::xml_node node) {
  ++elements_;
  const bool chord = static_cast<bool>(node.child("chord"));
  const bool cue = static_cast<bool>(node.child("cue"));
  PageNote note = note_of(node);
  if (chord && note.length == 0 && !node.child("grace")) note.length = last_length_;
  if (node.child("grace")) {
    note.grace = grace_time_of(node.child("grace"));
  } else if (!cue && note.length == 0) {
    reading_.doubt(node, "a note has no duration", "it is taken as a grace note");
    note.grace = GraceTime{};
  }
  if (note.grace) note.length = 0;
  const bool is_rest = static_cast<bool>(node.child("rest"));
  const auto key = is_rest ? std::nullopt : key_of(node, note.staff);
  if (node.child("unpitched")) {
    reading_.doubt(node, "a note has no pitch", "it is left out");
  }
  int& staves = reading_.page.parts[reading_.part].staves;
  staves = std::max(staves, note.staff);
  if (!cue) read_notations(node, note);
  const bool advances = !chord && !note.grace;
  if (!chord) {
    last_marks_ = note.marks;
    last_voice_ = note.voice;
  }
  if (advances) {
    last_onset_ = reading_.cursor;
    last_length_ = note.length;
    move(note.length, node);
  }
  if (is_rest && !note.grace) place_graces(note.onset, 0);
  if (!key || cue) return;
  note.key = *key;
  // What stands over a chord stands at its first note.
  if (chord) note.marks.add(last_marks_);
  add(std::move(note), chord);
}

// What stands with the note and is the staff's: dynamics, a fermata over a rest.
void MeasureReader::read_notations(pugi::xml_node node, const PageNote& note) {
  const PagePart& part = reading_.page.parts[reading_.part];
  for (const pugi::xml_node notations : node.children("notations")) {
    for (const pugi::xml_node dynamics : notations.children("dynamics")) {
      const int alone = staff_alone(part, note.staff, dynamics.attribute("placement").as_string());
      read_dynamics(dynamics, note.onset, {note.staff, alone}, reading_);
    }
  }
  if (node.child("rest") && note.marks.has(Mark::kFermata)) {
    reading_.here().signs.push_back(
        {.at = note.onset, .kind = SignKind::kFermata, .length = note.length, .place = note.place});
  }
}

void MeasureReader::add(PageNote note, bool chord) {
  if (note.grace) {
    if (!chord || graces_.empty()) graces_.emplace_back();
    graces_.back().push_back(std::move(note));
    return;
  }
  if (!chord) place_graces(note.onset, note.length);
  reading_.here().notes.push_back(std::move(note));
}

// Grace notes belong to the note after them in the file.
void MeasureReader::place_graces(Ticks principal, Ticks length) {
  for (std::size_t i = 0; i < graces_.size(); ++i) {
    for (PageNote& grace : graces_[i]) {
      const GraceTime& first = *graces_.front().front().grace;
      grace.grace->place = static_cast<int>(i);
      grace.grace->count = static_cast<int>(graces_.size());
      grace.grace->steal_previous = first.steal_previous;
      grace.grace->steal_following = first.steal_following;
      grace.onset = principal;
      grace.length = length;
      reading_.here().notes.push_back(std::move(grace));
    }
  }
  graces_.clear();
}

void MeasureReader::read_barline(pugi::xml_node barline) {
  if (barline.child("fermata")) {
    const Ticks beat =
        std::llround(reading_.signature.beat_length().value * reading_.page.division);
    const Ticks at = std::max<Ticks>(reading_.cursor - beat, 0);
    reading_.here().signs.push_back(
        {.at = at, .kind = SignKind::kFermata, .length = beat, .place = reading_.place(barline)});
  }
  if (reading_.part != 0) return;  // they are the same in all parts
  MeasureSigns& signs = measure_->signs;
  signs.segno |= barline.child("segno") || barline.attribute("segno");
  if (barline.child("coda") || barline.attribute("coda")) add_coda_sign(reading_);
  if (const pugi::xml_node repeat = barline.child("repeat")) {
    if (std::strcmp(repeat.attribute("direction").as_string(), "forward") == 0) {
      signs.begins_repeat = true;
      endings_.clear();  // some exports forget to close the last one
      signs.endings.clear();
    } else {
      signs.ends_repeat = std::clamp(repeat.attribute("times").as_int(2), 2, kMostTimes);
    }
  }
  if (const pugi::xml_node ending = barline.child("ending")) read_ending(ending);
}

void MeasureReader::read_ending(pugi::xml_node ending) {
  if (std::strcmp(ending.attribute("type").as_string(), "start") != 0) {
    closes_ending_ = true;
    return;
  }
  const bool follows = reading_.index > 0 && !(measure_ - 1)->signs.endings.empty();
  const int before = follows ? std::ranges::max((measure_ - 1)->signs.endings) : 0;
  endings_ = ending_numbers(ending.attribute("number").as_string());
  if (endings_.empty()) endings_ = {before + 1};  // without a number: the next
  measure_->signs.endings = endings_;
}

}  // namespace arsis
