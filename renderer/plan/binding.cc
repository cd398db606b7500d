#include "plan/binding.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "base/text.h"
#include "plan/binding_steps.h"
#include "score/melody.h"

namespace arsis {

const std::vector<Block>& BoundPlan::level(Level level) const {
  switch (level) {
    case Level::kMotif:
      return motifs;
    case Level::kPhrase:
      return phrases;
    case Level::kSentence:
      return sentences;
    case Level::kPiece:
      return piece;
  }
  return piece;
}

std::string block_name(const BoundPlan& plan, Level level, std::size_t index) {
  if (level == Level::kPiece) return "piece";
  if (level == Level::kSentence) return fmt::format("{}", index + 1);
  const Level above = level == Level::kMotif ? Level::kPhrase : Level::kSentence;
  const std::uint32_t parent = plan.level(level)[index].parent;
  return fmt::format("{}.{}", block_name(plan, above, parent),
                     index - plan.level(above)[parent].first + 1);
}

Score with_plan_pickup(Score score, const Plan& plan) {
  if (!plan.pickup) return score;
  const TimeSignature signature =
      score.signatures.empty() ? TimeSignature{} : score.signatures.front().signature;
  const Beats unit = plan.pickup->unit == WrittenLength::Unit::kBar ? signature.bar_length()
                                                                    : signature.beat_length();
  const Beats pickup = score.snapped(unit * plan.pickup->number);
  return with_pickup(std::move(score), pickup);
}

namespace {

// In place of a position that the score does not have.
std::string what_there_is(const Bars& bars, Position wanted) {
  int passes = 0;  // of its bar, by halves: the last that there is
  const bool is_there = bars.find(wanted.bar, wanted.pass) != nullptr;
  for (int none = is_there ? 0 : wanted.pass; none - passes > 1;) {
    const int pass = passes + (none - passes) / 2;
    (bars.find(wanted.bar, pass) != nullptr ? passes : none) = pass;
  }
  if (passes > 0) {
    return fmt::format("bar {} is played {}", wanted.bar,
                       passes == 1 ? "once" : fmt::format("{} times", passes));
  }
  return fmt::format("it goes from {} to the end of bar {}",
                     to_string(bars.position_of(bars.all().front().span.begin)),
                     bars.all().back().number);
}

}  // namespace

std::optional<Beats> Binder::moment(const WrittenPosition& position, bool as_an_end) {
  constexpr Beats kRoundingError{1e-9};
  const std::optional<Beats> moment = score.bars.moment_of(position.position);
  const Bar* bar = score.bars.find(position.position.bar, position.position.pass);
  if (!moment || bar == nullptr) {
    text.refuse(position.place,
                fmt::format("there is no {} in the score", to_string(position.position)),
                what_there_is(score.bars, position.position));
    return std::nullopt;
  }
  // "4:5" may say where a block or a hairpin in 4/4 ends; nothing begins there: that is "5:1".
  const Beats latest = as_an_end ? bar->span.end + kRoundingError : bar->span.end - kRoundingError;
  if (*moment <= latest) return score.snapped(*moment);
  text.refuse(
      position.place,
      fmt::format("bar {} has no beat {}", bar->number, short_number(position.position.beat)),
      fmt::format("it ends before beat {}",
                  short_number(score.bars.position_of(bar->span.end - kRoundingError).beat)));
  return std::nullopt;
}

std::optional<std::vector<bool>> Binder::parts_named(const std::string& name, Place place) {
  if (name.empty()) return std::vector<bool>(score.parts.size(), true);
  if (const auto known = held_by_name.find(name); known != held_by_name.end()) {
    return known->second;
  }
  const auto found = std::ranges::find(plan.parts, name, &PartPlan::name);
  if (found == plan.parts.end()) {
    std::vector<std::string_view> known;
    for (const PartPlan& part : plan.parts) known.push_back(part.name);
    const auto nearest = nearest_word(name, known);
    text.refuse(place, fmt::format("there is no part '{}'", printable(name)),
                nearest         ? fmt::format("did you mean '{}'?", *nearest)
                : known.empty() ? std::string("list the parts under 'parts:'")
                                : fmt::format("choose {}", listed(known)));
    return std::nullopt;
  }
  const auto index = static_cast<std::uint16_t>(found - plan.parts.begin());
  std::vector<bool> held(score.parts.size());
  for (std::size_t i = 0; i < held.size(); ++i) held[i] = plan_part[i] == index;
  return held_by_name[name] = held;
}

namespace {

// Positions in a pickup count from the bar line that it leads to, so that none is longer than a
// bar.
void question_pickup(Binder& binder) {
  const Bar& first = binder.score.bars.all().front();
  if (!binder.plan.pickup || first.span.length() <= first.signature.bar_length() + Beats{1e-9}) {
    return;
  }
  binder.text.refuse(binder.plan.pickup->place, "the pickup is longer than a bar",
                     fmt::format("a bar is {} beats; leave 'pickup:' out where there is none",
                                 first.signature.beats));
}

// By place, the plan's before the page's; what two steps say of the same thing stands once.
void put_in_order(Diagnostics& diagnostics, const std::string& plan_file) {
  std::ranges::stable_sort(diagnostics, {}, [&](const Diagnostic& diagnostic) {
    const Where& where = diagnostic.where;
    return std::tuple(where.file != plan_file, where.line, where.column);
  });
  diagnostics.erase(std::unique(diagnostics.begin(), diagnostics.end()), diagnostics.end());
}

}  // namespace

Result<BoundPlan> bind_plan(const Plan& plan, const Score& score, const Printed& printed) {
  Binder binder{plan, score, printed, {plan.file, {}}, {}, {}, {}, {}};
  binder.bound.tunings.push_back(overridden(Tuning{}, plan.shape));
  question_pickup(binder);
  bind_parts(binder);
  std::vector<bool> melody(score.parts.size());
  for (std::size_t i = 0; i < melody.size(); ++i) {
    melody[i] = binder.bound.parts[i].role == Role::kMelody;
  }
  binder.bound.melody = melody_line(score, melody);
  bind_blocks(binder);
  if (!has_errors(binder.text.diagnostics) && !plan.sentences.empty()) {
    find_goals(binder);
    question_structure(binder);
  }
  bind_page(binder);
  bind_dynamics(binder);
  bind_marks(binder);
  put_in_order(binder.text.diagnostics, plan.file);
  if (has_errors(binder.text.diagnostics)) return binder.text.diagnostics;
  return {std::move(binder.bound), std::move(binder.text.diagnostics)};
}

}  // namespace arsis
