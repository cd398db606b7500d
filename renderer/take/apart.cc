#include "take/apart.h"

#include <algorithm>
#include <limits>
#include <span>

namespace arsis {
namespace {

const Block& block_of(const Modelled& modelled, const Choices& own) {
  return modelled.plan.level(own.level)[own.block];
}

const ModelTake& model_take_of(const Modelled& modelled, const Choices& own, std::size_t choice) {
  const std::size_t level = index_of(own.level);
  if (choice >= own.members) return modelled.model_takes.without[level];
  return modelled.model_takes.led_by(own.level, block_of(modelled, own), choice);
}

Beats goal_of(const Modelled& modelled, const Choices& own, std::size_t choice) {
  const Block& block = block_of(modelled, own);
  if (own.level == Level::kMotif) return block.goal;
  const std::size_t member = block.first + choice;
  return own.level == Level::kPhrase ? modelled.plan.motifs[member].goal
                                     : modelled.plan.phrases[member].goal;
}

std::span<const std::size_t> melody_within(const Modelled& modelled, Span span) {
  const std::vector<std::size_t>& melody = modelled.plan.melody;
  const auto onset = [&](std::size_t note) { return modelled.score.notes[note].onset; };
  const auto first = std::ranges::lower_bound(melody, span.begin, {}, onset);
  const auto last = std::ranges::lower_bound(melody, span.end, {}, onset);
  if (last <= first) return {};
  return {first, last};
}

Span beat_about(const Modelled& modelled, Beats at) {
  const Beats half = modelled.score.bars.at(at).signature.beat_length() * 0.5;
  return {std::max(Beats{0.0}, at - half), at + half};
}

Seconds lasting(const TimeMap& time, Span span) {
  return time.seconds_at(span.end) - time.seconds_at(span.begin);
}

// How much longer than in the base, as a share.
double longer(const Modelled& modelled, const ModelTake& model_take, Span span) {
  return lasting(model_take.time, span) / lasting(modelled.model_takes.base.time, span) - 1.0;
}

}  // namespace

Decibels level_apart(const Modelled& modelled, const Choices& block, std::size_t choice,
                     std::size_t other) {
  const bool motif = block.level == Level::kMotif;
  Span span = block_of(modelled, block).span;
  if (motif) span.end = block_of(modelled, block).goal + kSameMoment;
  const ModelTake& one = model_take_of(modelled, block, choice);
  const ModelTake& two = model_take_of(modelled, block, other);
  Decibels least{std::numeric_limits<double>::infinity()};
  Decibels most = least * -1.0;
  for (const std::size_t note : melody_within(modelled, span)) {
    const Decibels difference = one.levels[note] - two.levels[note];
    least = std::min(least, difference);
    most = std::max(most, difference);
  }
  if (most <= least) return {0.0};
  return (most - least) * (motif ? 1.0 : 0.5);
}

double time_apart(const Modelled& modelled, const Choices& block, std::size_t choice,
                  std::size_t other) {
  const ModelTake& one = model_take_of(modelled, block, choice);
  const ModelTake& two = model_take_of(modelled, block, other);
  const auto apart = [&](Span span) {
    return longer(modelled, one, span) - longer(modelled, two, span);
  };
  const double here = apart(beat_about(modelled, goal_of(modelled, block, choice)));
  if (block.level == Level::kMotif) return here - apart(block_of(modelled, block).span);
  return (here - apart(beat_about(modelled, goal_of(modelled, block, other)))) / 2.0;
}

Seconds beat_at_goal(const Modelled& modelled, const Choices& block, std::size_t choice) {
  return lasting(modelled.model_takes.base.time,
                 beat_about(modelled, goal_of(modelled, block, choice)));
}

}  // namespace arsis
