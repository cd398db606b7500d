#include "musicxml/direction_reader.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "musicxml/metronome_mark.h"
#include "musicxml/note_signs.h"
#include "musicxml/printed_words.h"

namespace arsis {
namespace {

constexpr double kMostOffset = 1e6;

bool is_yes(pugi::xml_attribute attribute) {
  return std::string_view(attribute.as_string()) == "yes";
}

// Of an element `offset`; 0 where there is none.
Ticks offset_of(pugi::xml_node offset, const MeasureReading& reading) {
  const double divisions = offset.text().as_double();
  if (!std::isfinite(divisions) || std::abs(divisions) > kMostOffset || !reading.divisions)
    return 0;
  return std::llround(divisions / *reading.divisions * reading.page.division);
}

void add_dynamic(const WordMeaning& meaning, pugi::xml_node node, Ticks at, StaffScope scope,
                 MeasureReading& reading) {
  PageSign sign{
      .at = at, .staff = scope.alone, .stands_at = scope.stands_at, .place = reading.place(node)};
  if (meaning.kind == WordKind::kDynamic) {
    sign.step = static_cast<int>(meaning.number);
  } else if (meaning.kind == WordKind::kSforzato) {
    sign.kind = SignKind::kForteMark;
  } else if (meaning.kind == WordKind::kFortePiano) {
    sign.kind = SignKind::kFortePiano;
  } else {
    return;
  }
  reading.here().signs.push_back(sign);
}

class Direction {
 public:
  Direction(pugi::xml_node node, MeasureReading& reading) : node_(node), reading_(reading) {
    const pugi::xml_node offset = node.child("offset");
    moved_ = offset_of(offset, reading);
    offset_sounds_ = is_yes(offset.attribute("sound"));
    stands_at_ = std::clamp(node.child("staff").text().as_int(), 0, kMostStaves);
    staff_ = staff_alone(reading.page.parts[reading.part], stands_at_,
                         node.attribute("placement").as_string());
    for (const pugi::xml_node type : node.children("direction-type")) {
      if (type.child("dynamics")) has_dynamics_ = true;
      if (type.child("metronome")) has_tempo_ = true;
    }
    for (const pugi::xml_node sound : node.children("sound")) {
      if (sound.attribute("coda") || sound.attribute("tocoda")) sounds_coda_ = true;
      if (!sound.attribute("tempo")) continue;
      has_tempo_ = true;
      sounds_tempo_ = true;
    }
    dashes_number_ = dashes_number();
  }

  void read() {
    for (const pugi::xml_node sound : node_.children("sound")) {
      if (reading_.is_full()) return;
      read_sound(sound, offset_sounds_ ? moved() : reading_.cursor, reading_);
    }
    for (const pugi::xml_node type : node_.children("direction-type")) {
      for (const pugi::xml_node child : type.children()) {
        if (reading_.is_full()) return;
        read_type(child);
      }
    }
  }

 private:
  void read_type(pugi::xml_node child) {
    const std::string_view name = child.name();
    if (name == "dynamics") {
      read_dynamics(child, placed(), {stands_at_, staff_}, reading_);
    } else if (name == "wedge") {
      read_wedge(child);
    } else if (name == "words") {
      read_words(child);
    } else if (name == "dashes") {
      if (std::string_view(child.attribute("type").as_string()) == "stop") {
        end_all(reading_.dashes.close({number_of(child), stands_at_}), false);
      }
    } else if (name == "pedal") {
      read_pedal(child);
    } else if (name == "metronome") {
      read_metronome(child);
    } else if (name == "segno" && reading_.part == 0) {
      reading_.measure->signs.segno = true;
    } else if (name == "coda" && reading_.part == 0) {
      if (!sounds_coda_) add_coda_sign(reading_);  // `sound` says better which of the two it is
    }
  }

  Ticks moved() const { return std::max<Ticks>(0, reading_.cursor + moved_); }
  // Of a mark that belongs to a note: less than an eighth is layout.
  Ticks placed() const {
    return offset_sounds_ || std::abs(moved_) >= reading_.page.division / 2 ? moved()
                                                                            : reading_.cursor;
  }

  PageSign& sign(pugi::xml_node node, SignKind kind) {
    PageSign& made = reading_.here().signs.emplace_back();
    made.at = moved();
    made.kind = kind;
    made.staff = staff_;
    made.stands_at = stands_at_;
    made.place = reading_.place(node);
    return made;
  }

  OpenStretch last_sign() const {
    return {reading_.index, reading_.here().signs.size() - 1, false};
  }

  void end_all(const std::vector<OpenStretch>& stretches, bool to_nothing) {
    const PageMoment here{reading_.index, moved()};
    for (const OpenStretch& stretch : stretches) {
      PageMeasure& measure = reading_.page.measures[stretch.measure];
      if (stretch.is_tempo) {
        measure.tempos[stretch.index].end = here;
        continue;
      }
      PageSign& begun = measure.parts[reading_.part].signs[stretch.index];
      begun.end = here;
      begun.to_nothing = to_nothing;
    }
  }

  void read_wedge(pugi::xml_node wedge) {
    const std::string_view type = wedge.attribute("type").as_string();
    const OpenStretches::Key key{number_of(wedge), stands_at_};
    const bool nothing = is_yes(wedge.attribute("niente"));
    if (type == "stop") {
      end_all(reading_.hairpins.close(key), nothing);
    } else if (type == "crescendo" || type == "diminuendo") {
      reading_.hairpins.forget(key);
      PageSign& made = sign(wedge, SignKind::kHairpin);
      made.rises = type == "crescendo";
      made.from_nothing = nothing;
      reading_.hairpins.open(key, last_sign());
    }
  }

  // Of dashes that begin with the words, in this direction or in the next one; 0: none do.
  int dashes_number() const {
    const pugi::xml_node next = node_.next_sibling();
    for (const pugi::xml_node direction : {node_, next}) {
      if (std::string_view(direction.name()) != "direction") continue;
      for (const pugi::xml_node type : direction.children("direction-type")) {
        const pugi::xml_node dashes = type.child("dashes");
        if (std::string_view(dashes.attribute("type").as_string()) == "start") {
          return number_of(dashes);
        }
      }
    }
    return 0;
  }

  void read_words(pugi::xml_node words) {
    for (const WordMeaning& meaning : meanings_of(words.text().as_string())) {
      if (meaning.kind >= WordKind::kGradual && meaning.kind <= WordKind::kTempo) {
        add_tempo_word(words, meaning);
      } else if (meaning.kind > WordKind::kTempo) {
        add_jump(meaning.kind);
      } else {
        add_dynamic_word(words, meaning);
      }
    }
  }

  void add_dynamic_word(pugi::xml_node words, const WordMeaning& meaning) {
    if (meaning.kind == WordKind::kCrescendo || meaning.kind == WordKind::kDiminuendo) {
      sign(words, SignKind::kHairpin).rises = meaning.kind == WordKind::kCrescendo;
      if (dashes_number_ > 0) reading_.dashes.open({dashes_number_, stands_at_}, last_sign());
    } else if (!has_dynamics_) {
      add_dynamic(meaning, words, placed(), {stands_at_, staff_}, reading_);
    }
  }

  // What `sound` or a metronome mark in the same direction says is better.
  void add_tempo_word(pugi::xml_node words, const WordMeaning& meaning) {
    if (has_tempo_ && (sounds_tempo_ || meaning.kind == WordKind::kTempo)) return;
    constexpr std::array<TempoKind, 5> kKinds = {TempoKind::kGradual, TempoKind::kAtOnce,
                                                 TempoKind::kBack, TempoKind::kFirst,
                                                 TempoKind::kName};
    const auto index =
        static_cast<std::size_t>(meaning.kind) - static_cast<std::size_t>(WordKind::kGradual);
    PageTempo tempo{.at = reading_.cursor, .kind = kKinds[index], .place = reading_.place(words)};
    if (meaning.number > 0.0) tempo.number = meaning.number;
    reading_.measure->tempos.push_back(tempo);
    if (dashes_number_ > 0 && tempo.kind == TempoKind::kGradual) {
      reading_.dashes.open({dashes_number_, stands_at_},
                           {reading_.index, reading_.measure->tempos.size() - 1, true});
    }
  }

  void add_jump(WordKind kind) {
    if (reading_.part != 0) return;
    MeasureSigns& signs = reading_.measure->signs;
    signs.da_capo |= kind == WordKind::kDaCapo;
    signs.dal_segno |= kind == WordKind::kDalSegno;
    signs.fine |= kind == WordKind::kFine;
    if (kind != WordKind::kToCoda) return;
    signs.to_coda = true;
    ++reading_.codas;
  }

  void read_pedal(pugi::xml_node pedal) {
    const std::string_view type = pedal.attribute("type").as_string();
    if (type == "start" || type == "resume") {
      sign(pedal, SignKind::kPedalDown);
    } else if (type == "stop" || type == "discontinue") {
      sign(pedal, SignKind::kPedalUp);
    } else if (type == "change") {
      sign(pedal, SignKind::kPedalChange);
    }  // "continue" draws a line on; the other pedals have no key of their own here
  }

  void read_metronome(pugi::xml_node metronome) {
    if (sounds_tempo_) return;
    std::optional<PageTempo> tempo = metronome_mark(metronome);
    if (!tempo) {
      reading_.doubt(metronome, "a metronome mark gives no tempo", "it is left out");
      return;
    }
    tempo->at = reading_.cursor;
    tempo->place = reading_.place(metronome);
    reading_.measure->tempos.push_back(*tempo);
  }

  pugi::xml_node node_;
  MeasureReading& reading_;
  Ticks moved_ = 0;
  bool offset_sounds_ = false;
  int stands_at_ = 0;  // staff that the file names
  int staff_ = 0;      // that it holds for alone
  bool has_dynamics_ = false;
  bool has_tempo_ = false;
  bool sounds_tempo_ = false;
  bool sounds_coda_ = false;
  int dashes_number_ = 0;
};

// "yes", "no", or how far down it is, in percent.
void add_pedal(pugi::xml_attribute pedal, pugi::xml_node node, Ticks at, MeasureReading& reading) {
  const std::string_view word = pedal.as_string();
  const bool down = word == "yes" || (word != "no" && pedal.as_double() >= 50.0);
  reading.here().signs.push_back({.at = at,
                                  .kind = down ? SignKind::kPedalDown : SignKind::kPedalUp,
                                  .place = reading.place(node)});
}

void read_jumps(pugi::xml_node sound, MeasureSigns& signs) {
  signs.segno |= static_cast<bool>(sound.attribute("segno"));
  signs.coda |= static_cast<bool>(sound.attribute("coda"));
  signs.to_coda |= static_cast<bool>(sound.attribute("tocoda"));
  signs.da_capo |= is_yes(sound.attribute("dacapo"));
  signs.dal_segno |= static_cast<bool>(sound.attribute("dalsegno"));
  signs.fine |= static_cast<bool>(sound.attribute("fine"));
  signs.begins_repeat |= is_yes(sound.attribute("forward-repeat"));
}

}  // namespace

std::vector<OpenStretch> OpenStretches::close(Key key) {
  auto found = open_.find(key);
  if (found == open_.end()) {
    found = std::ranges::find_if(open_,
                                 [&](const auto& each) { return each.first.first == key.first; });
  }
  if (found == open_.end()) return {};
  std::vector<OpenStretch> closed = std::move(found->second);
  open_.erase(found);
  return closed;
}

int staff_alone(const PagePart& part, int staff, std::string_view placement) {
  if (part.staves < 2 || staff < 1) return 0;
  if (staff == 1) return placement == "above" ? 1 : 0;
  const bool between = placement == "above" || (placement == "below" && staff < part.staves);
  return between ? 0 : staff;
}

void read_dynamics(pugi::xml_node dynamics, Ticks at, StaffScope scope, MeasureReading& reading) {
  for (const pugi::xml_node child : dynamics.children()) {
    if (reading.is_full()) return;
    const std::string_view name = child.name();
    const std::vector<WordMeaning> meanings = name == "other-dynamics"
                                                  ? meanings_of(child.text().as_string())
                                                  : meanings_of_dynamic(name);
    if (meanings.empty() && child.type() == pugi::node_element) {
      reading.doubt(child, "a dynamic is unknown", "it is left out");
    }
    for (const WordMeaning& meaning : meanings) {
      add_dynamic(meaning, child, at, scope, reading);
    }
  }
}

void add_coda_sign(MeasureReading& reading) {
  MeasureSigns& signs = reading.measure->signs;
  if (signs.to_coda) return;  // its words were there before it
  (reading.codas++ == 0 ? signs.to_coda : signs.coda) = true;
}

void read_sound(pugi::xml_node sound, Ticks at, MeasureReading& reading) {
  if (const pugi::xml_node offset = sound.child("offset")) {
    at = std::max<Ticks>(0, reading.cursor + offset_of(offset, reading));
  }
  if (const pugi::xml_attribute attribute = sound.attribute("tempo")) {
    const double tempo = attribute.as_double();
    if (is_playable(tempo)) {
      reading.measure->tempos.push_back(
          {.at = at, .number = tempo, .is_sound = true, .place = reading.place(sound)});
    } else {
      reading.doubt(sound, "a tempo is none that anybody plays", "it is left out");
    }
  }
  if (const auto loudness = loudness_of(sound.attribute("dynamics"))) {
    reading.here().signs.push_back(
        {.at = at, .kind = SignKind::kLoudness, .ratio = *loudness, .place = reading.place(sound)});
  }
  if (const auto pedal = sound.attribute("damper-pedal")) add_pedal(pedal, sound, at, reading);
  if (reading.part == 0) read_jumps(sound, reading.measure->signs);
}

void read_direction(pugi::xml_node direction, MeasureReading& reading) {
  Direction(direction, reading).read();
}

}  // namespace arsis
