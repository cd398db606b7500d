#include "musicxml/measure_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kMostQuarters = 10'000.0;  // of a single duration
constexpr double kSlowestTempo = 4.0;       // quarter notes a minute
constexpr double kFastestTempo = 2'000.0;
constexpr int kFinestBeat = 64;
constexpr int kMostTimes = 32;  // that a section is played
// A grace note's length, in quarter notes, where it is not stolen from a shorter note.
constexpr double kGrace = 0.125;

int semitone_of(char step) {
  constexpr std::string_view kSteps = "C D EF G A B";
  const std::size_t found = kSteps.find(step);
  return found == std::string_view::npos || step == ' ' ? -1 : static_cast<int>(found);
}

// "3+2" is 5; 0 where it is no sum of whole numbers.
int beats_of(std::string_view text) {
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

// Quarter notes of a printed note value; 0 for an unknown one.
double quarters_of(std::string_view type) {
  struct Value {
    std::string_view type;
    double quarters;
  };
  // MusicXML 4.0, note-type-value, as far as tempo marks use it.
  constexpr Value kValues[] = {{"whole", 4.0}, {"half", 2.0},   {"quarter", 1.0}, {"eighth", 0.5},
                               {"16th", 0.25}, {"32nd", 0.125}, {"breve", 8.0}};
  for (const Value& value : kValues) {
    if (value.type == type) return value.quarters;
  }
  return 0.0;
}

}  // namespace

MeasureReader::MeasureReader(const XmlDocument& document, Page& page, std::size_t part,
                             Doubts& doubts)
    : document_(document), page_(page), part_(part), doubts_(doubts) {}

void MeasureReader::read(pugi::xml_node measure, std::size_t index) {
  measure_ = &page_.measures[index];
  cursor_ = 0;
  last_onset_ = 0;
  last_length_ = 0;
  graces_.clear();
  if (part_ == 0) {
    const auto number = parse_integer(trimmed(measure.attribute("number").as_string()));
    const bool known = number && *number >= 0 && *number <= Bars::kMostBars;
    measure_->number = known ? static_cast<int>(*number) : 0;
    measure_->is_counted =
        known && std::strcmp(measure.attribute("implicit").as_string(), "yes") != 0;
    if (!endings_.empty()) measure_->signs.endings = endings_;
  }
  for (const pugi::xml_node node : measure.children()) {
    const std::string_view name = node.name();
    if (name == "note") {
      read_note(node);
    } else if (name == "attributes") {
      read_attributes(node);
    } else if (name == "backup") {
      move(-ticks(node.child("duration")), node);
    } else if (name == "forward") {
      move(ticks(node.child("duration")), node);
    } else if (name == "direction") {
      read_direction(node);
    } else if (name == "sound") {
      read_sound(node, cursor_);
    } else if (name == "barline") {
      read_barline(node);
    }
  }
  if (part_ == 0 && !endings_.empty() && measure_->signs.endings.empty()) {
    measure_->signs.endings = endings_;
  }
  place_graces(cursor_, 0);  // after the last note: before the bar line
  if (part_ == 0 && closes_ending_) {
    endings_.clear();
    closes_ending_ = false;
  }
}

// Of an element `duration`; 0 where it is none.
Ticks MeasureReader::ticks(pugi::xml_node duration) {
  const double value = duration.text().as_double();
  if (!duration || !std::isfinite(value) || value < 0.0) {
    if (duration) {
      doubts_.add(document_.where(duration), "a duration is no number of 0 or more",
                  "it is taken as 0");
    }
    return 0;
  }
  if (!divisions_) {
    doubts_.add(document_.where(duration), "there is a duration before any 'divisions'",
                "a quarter note is taken as one division");
    divisions_ = 1;
  }
  const double quarters = value / *divisions_;
  if (quarters > kMostQuarters) {
    doubts_.add(document_.where(duration), "a duration is longer than any note", "it is cut");
  }
  return std::llround(std::min(quarters, kMostQuarters) * page_.division);
}

void MeasureReader::move(Ticks by, pugi::xml_node node) {
  cursor_ += by;
  if (cursor_ < 0) {
    doubts_.add(document_.where(node), "a 'backup' goes past the measure's beginning",
                "it is taken as going to the beginning");
    cursor_ = 0;
  }
  PartMeasure& here = measure_->parts[part_];
  here.reached = std::max(here.reached, cursor_);
}

void MeasureReader::read_attributes(pugi::xml_node attributes) {
  if (const pugi::xml_node divisions = attributes.child("divisions")) {
    const int value = divisions.text().as_int();
    if (value >= 1 && value <= 1'000'000) {
      divisions_ = value;
    } else {
      doubts_.add(document_.where(divisions), "'divisions' is no whole number above 0",
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
    page_.parts[part_].staves = std::clamp(staves.text().as_int(), 1, 8);
  }
  if (const pugi::xml_node transpose = attributes.child("transpose")) {
    transposed_ = std::clamp(transpose.child("chromatic").text().as_int(), -48, 48) +
                  12 * std::clamp(transpose.child("octave-change").text().as_int(), -4, 4);
  }
}

void MeasureReader::read_time(pugi::xml_node time) {
  // Several pairs are one signature of all their beats, in the finest unit.
  int unit = 1;
  std::vector<std::pair<int, int>> pairs;
  for (pugi::xml_node beats = time.child("beats"); beats; beats = beats.next_sibling("beats")) {
    const int count = beats_of(beats.text().as_string());
    const int type = beats.next_sibling("beat-type").text().as_int();
    const bool is_power = type >= 1 && type <= kFinestBeat && (type & (type - 1)) == 0;
    if (count == 0 || !is_power) {
      doubts_.add(document_.where(time), "a time signature is none", "the one before it goes on");
      return;
    }
    pairs.emplace_back(count, type);
    unit = std::max(unit, type);
  }
  int sum = 0;
  for (const auto& [count, type] : pairs) sum += count * (unit / type);
  if (sum >= 1 && sum <= 255) measure_->signature = TimeSignature{sum, unit};
}

std::optional<int> MeasureReader::key_of(pugi::xml_node note) {
  const pugi::xml_node pitch = note.child("pitch");
  const char* step = pitch.child("step").text().as_string();
  const int semitone = semitone_of(step[0]);
  if (semitone < 0) return std::nullopt;
  const double alter = pitch.child("alter").text().as_double();
  const int octave = std::clamp(pitch.child("octave").text().as_int(), -2, 12);
  if (!(std::abs(alter) <= 4.0)) return std::nullopt;
  if (alter != std::round(alter)) {
    doubts_.add(document_.where(pitch), "a note lies between the keys", "the nearest is played");
  }
  const int key = 12 * (octave + 1) + semitone + static_cast<int>(std::lround(alter)) + transposed_;
  if (key < 0 || key > 127) {
    doubts_.add(document_.where(pitch), "a note lies beyond the keys of MIDI", "it is left out");
    return std::nullopt;
  }
  return key;
}

void MeasureReader::read_note(pugi::xml_node node) {
  const bool chord = static_cast<bool>(node.child("chord"));
  const bool cue = static_cast<bool>(node.child("cue"));
  bool grace = static_cast<bool>(node.child("grace"));
  if (!grace && !cue && !node.child("duration")) {
    doubts_.add(document_.where(node), "a note has no duration", "it is taken as a grace note");
    grace = true;
  }
  const Ticks length = grace ? 0 : ticks(node.child("duration"));
  PageNote note;
  note.onset = chord ? last_onset_ : cursor_;
  note.length = chord && !grace && length == 0 ? last_length_ : length;
  note.staff = std::clamp(node.child("staff").text().as_int(1), 1, 8);
  for (const pugi::xml_node tie : node.children("tie")) {
    const std::string_view type = tie.attribute("type").as_string();
    note.tied_to |= type == "start";
    note.tied_from |= type == "stop";
  }
  for (const pugi::xml_node tied : node.child("notations").children("tied")) {
    const std::string_view type = tied.attribute("type").as_string();
    note.tied_to |= type == "start" || type == "let-ring";
    note.tied_from |= type == "stop";
  }
  const auto key = node.child("rest") ? std::nullopt : key_of(node);
  if (node.child("unpitched")) {
    doubts_.add(document_.where(node), "a note has no pitch", "it is left out");
  }
  PartMeasure& here = measure_->parts[part_];
  if (key && !cue) {
    note.key = *key;
    if (note.length == 0) {
      if (!chord || graces_.empty()) graces_.emplace_back();
      graces_.back().push_back(note);
    } else {
      if (!chord) place_graces(note.onset, last_length_);
      here.notes.push_back(note);
    }
  }
  page_.parts[part_].staves = std::max(page_.parts[part_].staves, note.staff);
  if (chord || grace) return;
  last_onset_ = cursor_;
  last_length_ = length;
  cursor_ += length;
  here.reached = std::max(here.reached, cursor_);
}

// Grace notes are played before the note that they belong to, in time stolen from what precedes it:
// an eighth of a quarter note each, and all of them at most half of the note before. At a measure's
// beginning, where nothing in it precedes, they are squeezed into the principal note's own time.
// Common practice, no source.
void MeasureReader::place_graces(Ticks principal, Ticks before_length) {
  if (graces_.empty()) return;
  const auto count = static_cast<Ticks>(graces_.size());
  const Ticks each = std::llround(kGrace * page_.division);
  const Ticks room = std::min(principal, std::max<Ticks>(before_length / 2, 0));
  const Ticks length = std::max<Ticks>(1, room > 0 ? std::min(each, room / count) : each / 2);
  Ticks at = room > 0 ? principal - length * count : principal;
  for (std::vector<PageNote>& chord : graces_) {
    for (PageNote& grace : chord) {
      grace.onset = std::max<Ticks>(at, 0);
      grace.length = length;
      measure_->parts[part_].notes.push_back(std::move(grace));
    }
    at += length;
  }
  graces_.clear();
}

void MeasureReader::read_direction(pugi::xml_node direction) {
  const double offset = direction.child("offset").text().as_double();
  Ticks at = cursor_;
  if (std::isfinite(offset) && std::abs(offset) < 1e6 && divisions_) {
    at = std::max<Ticks>(0, at + std::llround(offset / *divisions_ * page_.division));
  }
  bool has_tempo = false;
  for (const pugi::xml_node sound : direction.children("sound")) {
    has_tempo |= static_cast<bool>(sound.attribute("tempo"));
    read_sound(sound, at);
  }
  for (const pugi::xml_node type : direction.children("direction-type")) {
    if (part_ == 0 && type.child("segno")) measure_->signs.segno = true;
    if (part_ == 0 && type.child("coda")) {
      // The first sign says from where, the second to where; `sound` says it better.
      seen_coda_ ? measure_->signs.coda = true : measure_->signs.to_coda = true;
      seen_coda_ = true;
    }
    const pugi::xml_node metronome = type.child("metronome");
    if (!metronome || has_tempo) continue;
    double quarters = quarters_of(metronome.child("beat-unit").text().as_string());
    double dot = quarters / 2.0;
    for (const pugi::xml_node each : metronome.children("beat-unit-dot")) {
      static_cast<void>(each);
      quarters += dot;
      dot /= 2.0;
    }
    const double tempo = quarters * metronome.child("per-minute").text().as_double();
    if (tempo >= kSlowestTempo && tempo <= kFastestTempo) measure_->tempos.push_back({at, tempo});
  }
}

void MeasureReader::read_sound(pugi::xml_node sound, Ticks at) {
  if (const pugi::xml_attribute attribute = sound.attribute("tempo")) {
    const double tempo = attribute.as_double();
    if (tempo >= kSlowestTempo && tempo <= kFastestTempo) {
      measure_->tempos.push_back({at, tempo});
    } else {
      doubts_.add(document_.where(sound), "a tempo is none that anybody plays", "it is left out");
    }
  }
  if (part_ != 0) return;
  MeasureSigns& signs = measure_->signs;
  signs.segno |= static_cast<bool>(sound.attribute("segno"));
  if (sound.attribute("coda")) {
    signs.coda = true;
    signs.to_coda = false;
  }
  if (sound.attribute("tocoda")) {
    signs.to_coda = true;
    signs.coda = false;
  }
  signs.da_capo |= std::strcmp(sound.attribute("dacapo").as_string(), "yes") == 0;
  signs.dal_segno |= static_cast<bool>(sound.attribute("dalsegno"));
  signs.fine |= static_cast<bool>(sound.attribute("fine"));
}

void MeasureReader::read_barline(pugi::xml_node barline) {
  if (part_ != 0) return;  // they are the same in all parts
  MeasureSigns& signs = measure_->signs;
  if (const pugi::xml_node repeat = barline.child("repeat")) {
    if (std::strcmp(repeat.attribute("direction").as_string(), "forward") == 0) {
      signs.begins_repeat = true;
    } else {
      signs.ends_repeat = std::clamp(repeat.attribute("times").as_int(2), 2, kMostTimes);
    }
  }
  if (const pugi::xml_node ending = barline.child("ending")) {
    const std::string_view type = ending.attribute("type").as_string();
    if (type == "start") {
      endings_.clear();
      // "1, 2" or "1,2" or "1 2".
      std::string_view rest = ending.attribute("number").as_string();
      while (!rest.empty()) {
        const std::size_t end = rest.find_first_of(", ");
        const auto number = parse_integer(trimmed(rest.substr(0, end)));
        if (number && *number >= 1 && *number <= kMostTimes) {
          endings_.push_back(static_cast<int>(*number));
        }
        rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
      }
      signs.endings = endings_;
    } else {
      closes_ending_ = true;
    }
  }
}

}  // namespace arsis
