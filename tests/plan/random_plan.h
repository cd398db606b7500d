// Random plans that use every key of the format, for properties.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "plan/marks.h"
#include "plan/plan.h"
#include "property.h"

namespace arsis::test {

inline bool chance() { return *rc::gen::arbitrary<bool>(); }
inline int number(int least, int most) { return *rc::gen::inRange(least, most + 1); }

// Text that a plan may hold, awkward for YAML now and then.
inline std::string random_text() {
  const std::vector<std::string> awkward = {
      "null", "a: b", "x # y", "{a}",  "[b]",   "it's",         "say \"so\"", "back\\slash",
      "-",    "- a",  "~",     "&a",   "*b",    "!c",           "%d",         "@e",
      "é ü",  "1",    "true",  "?",    " a ",   "a,b",          "...",        "---",
      "...a", "a...", "..",    "Null", "u / u", "\xE2\x80\xA8", "9:3"};
  if (chance()) return awkward[static_cast<std::size_t>(number(0, 30))];
  std::string text;
  const int letters = number(1, 12);
  for (int i = 0; i < letters; ++i) text += static_cast<char>(number(0x20, 0x7E));
  return text;
}

inline double random_fraction() {
  const std::vector<double> fractions = {0.0,  0.5,    0.25,     1 / 3.0,        2 / 3.0,
                                         0.75, 0.0417, 5 / 12.0, 0.123456789012, 1e-7};
  return fractions[static_cast<std::size_t>(number(0, 9))];
}

inline WrittenPosition random_position() {
  return {{number(0, 2000), number(1, 12) + random_fraction(), chance() ? 1 : number(1, 12)}, {}};
}
inline WrittenLength random_length() {
  const double length = std::max(0.001, number(0, 9) + random_fraction());
  return {length, chance() ? WrittenLength::Unit::kBar : WrittenLength::Unit::kBeat, {}};
}

inline SharedLevels random_levels() {
  std::vector<LevelPoint> points;
  for (int velocity = number(1, 60); velocity < 127; velocity += number(1, 60)) {
    const double before = points.empty() ? -90.0 : points.back().level.value;
    points.push_back({Velocity::clamped(velocity), Decibels{before + number(0, 20) / 3.0}});
  }
  points.push_back({Velocity::clamped(127), Decibels{0.0}});
  return std::make_shared<const LevelTable>(LevelTable::of({{60, points}}));
}

// `level`: of the block that it shapes.
inline ShapeOverrides random_shape(Level level) {
  ShapeOverrides shape;
  for (std::size_t i = 0; i < kConstants; ++i) {
    const ConstantInfo& info = constant_table()[i];
    bool allowed = level == Level::kPiece || info.group == "touch" || info.name == "broadening";
    for (const Level other : kEveryLevel) {
      if (info.group == name_of(other)) allowed = other <= level;
    }
    if (!allowed || number(0, 7) > 0) continue;
    const double share = number(0, 1000) / 1000.0;
    shape.constants.emplace_back(static_cast<Constant>(i),
                                 info.least + (info.most - info.least) * share);
  }
  if (number(0, 3) == 0) shape.diminuendo = chance() ? Diminuendo::kBroaden : Diminuendo::kSwell;
  if (level == Level::kPiece && chance()) shape.keep = static_cast<Keep>(number(0, 3));
  return shape;
}

inline std::vector<PartPlan> random_parts() {
  std::vector<PartPlan> parts;
  const int count = number(0, 3);
  for (int i = 0; i < count; ++i) {
    PartPlan part;
    part.name = random_text() + std::to_string(i);
    if (chance()) part.track = number(1, 65'535);
    if (chance()) part.channel = number(1, 16);
    part.hand = static_cast<Hand>(number(0, 2));
    part.role = static_cast<Role>(number(0, 2));
    if (chance()) part.balance = Decibels{-number(0, 2400) / 100.0};
    if (number(0, 3) == 0) part.levels = random_levels();
    parts.push_back(std::move(part));
  }
  return parts;
}

template <class Entry>
void fill_extent(Entry& entry, bool stretch) {
  entry.from = random_position();
  if (stretch) entry.to = random_position();
  if (chance()) entry.part = random_text();
}

inline void add_printed(Plan& plan) {
  plan.page_dynamics.all_replaced = chance();
  plan.page_marks.all_replaced = chance();
  for (int i = number(0, 3); i > 0; --i) {
    DynamicPlan& dynamic = plan.dynamics.emplace_back();
    fill_extent(dynamic, chance());
    dynamic.rises = dynamic.to && chance();
    if (!dynamic.to || chance()) dynamic.step = number(-5, 4);
    MarkPlan& mark = plan.marks.emplace_back();
    mark.mark = kEveryMark[static_cast<std::size_t>(number(0, 10))];
    const bool at_one_place =
        mark.mark == Mark::kFermata || mark.mark == Mark::kBreath || mark.mark == Mark::kFortePiano;
    fill_extent(mark, !at_one_place && chance());
  }
  for (int i = number(0, 2); i > 0; --i) {
    if (!plan.page_dynamics.all_replaced) {
      RemovePlan& removed = plan.page_dynamics.removed.emplace_back();
      fill_extent(removed, chance());
      if (chance()) removed.rises = chance();
      if (chance()) removed.step = number(-5, 4);
    }
    if (!plan.page_marks.all_replaced) {
      RemovePlan& removed = plan.page_marks.removed.emplace_back();
      fill_extent(removed, chance());
      if (chance()) removed.mark = kEveryMark[static_cast<std::size_t>(number(0, 10))];
    }
  }
}

inline PhrasePlan random_phrase() {
  PhrasePlan phrase;
  phrase.motifs.resize(static_cast<std::size_t>(number(1, 4)));
  phrase.main = static_cast<std::size_t>(number(0, static_cast<int>(phrase.motifs.size()) - 1));
  if (number(0, 4) == 0) phrase.shape = random_shape(Level::kPhrase);
  if (number(0, 2) > 0) return phrase;
  for (MotifPlan& motif : phrase.motifs) {
    const int what = number(0, 3);
    if (what == 1) motif.to = random_position();
    if (what == 2) motif.length = random_length();
    if (chance()) motif.goal = random_position();
    if (number(0, 4) == 0) motif.shape = random_shape(Level::kMotif);
  }
  return phrase;
}

inline SentencePlan random_sentence(const std::vector<SentencePlan>& before) {
  SentencePlan sentence;
  if (!before.empty() && number(0, 3) == 0) {
    const auto named = static_cast<std::size_t>(number(0, static_cast<int>(before.size()) - 1));
    sentence.like = before[named].like.value_or(named);
  } else {
    for (int i = number(1, 3); i > 0; --i) sentence.phrases.push_back(random_phrase());
  }
  const auto& model = sentence.like ? before[*sentence.like].phrases : sentence.phrases;
  sentence.main = static_cast<std::size_t>(number(0, static_cast<int>(model.size()) - 1));
  if (number(0, 4) == 0) sentence.from = random_position();
  if (number(0, 4) == 0) sentence.length = random_length();
  if (number(0, 4) == 0) sentence.shape = random_shape(Level::kSentence);
  return sentence;
}

inline Plan random_plan() {
  Plan plan;
  plan.file = "p";
  if (chance()) plan.title = random_text();
  plan.score = random_text();
  if (chance()) plan.pickup = random_length();
  plan.parts = random_parts();
  if (chance()) plan.levels = random_levels();
  add_printed(plan);
  if (chance()) {
    plan.cell = random_length();
    plan.cell_from = random_position();
  }
  for (int i = number(1, 5); i > 0; --i) plan.sentences.push_back(random_sentence(plan.sentences));
  if (chance()) {
    plan.main = static_cast<std::size_t>(number(0, static_cast<int>(plan.sentences.size()) - 1));
  }
  if (chance()) plan.shape = random_shape(Level::kPiece);
  return plan;
}

}  // namespace arsis::test
