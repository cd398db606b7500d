#include "take/leads.h"

#include <algorithm>
#include <cmath>

namespace arsis {
namespace {

constexpr std::size_t kMostMembers = 8;  // of a block that is judged; plans have two or three

class Judge {
 public:
  // `goals` as for LevelArcs.
  Judge(const LevelArcs& levels, const Lingers& lingers, const std::vector<std::uint32_t>& goals)
      : levels_(levels), lingers_(lingers), goals_(goals) {}

  Lead lead_of(const Block& block, Level level) const {
    Lead lead{.planned = block.main, .heard = block.main, .against = block.main};
    if (block.count < 2 || block.count > kMostMembers) return lead;
    bool known = false;
    for (std::uint32_t a = block.first; a < block.first + block.count; ++a) {
      const auto next = next_to(a, block, level);
      if (!next || (known && next->second.steps <= lead.by.steps)) continue;
      known = true;
      lead.heard = a;
      lead.against = next->first;
      lead.by = next->second;
    }
    if (known && lead.heard != lead.planned) {
      lead.against = lead.planned;
      lead.by = between(lead.heard, lead.planned, block, level);
    }
    if (!lead.by.is_known()) return lead;
    lead.verdict = !lead.by.is_audible()        ? Verdict::kNotAudible
                   : lead.heard == lead.planned ? Verdict::kAsPlanned
                                                : Verdict::kOtherwise;
    return lead;
  }

  Growth growth_of(std::uint32_t motif) const {
    Growth growth;
    growth.by = together(levels_.growth(motif), lingers_.at(motif), lingers_.beat_at(motif));
    if (!growth.by.is_known()) return growth;
    growth.verdict = !growth.by.is_audible() ? Verdict::kNotAudible
                     : growth.by.steps > 0.0 ? Verdict::kAsPlanned
                                             : Verdict::kOtherwise;
    return growth;
  }

 private:
  Audible between(std::uint32_t a, std::uint32_t b, const Block& block, Level level) const {
    const auto goal = [&](std::uint32_t member) {
      return level == Level::kPhrase ? member : goals_[member - block.first];
    };
    return together(levels_.louder(level, a, b), lingers_.longer(goal(a), goal(b)),
                    lingers_.beat_at(goal(a)));
  }

  // The member that comes nearest to `a`, or is furthest ahead of it; none: nothing is known.
  std::optional<std::pair<std::uint32_t, Audible>> next_to(std::uint32_t a, const Block& block,
                                                           Level level) const {
    std::optional<std::pair<std::uint32_t, Audible>> next;
    for (std::uint32_t b = block.first; b < block.first + block.count; ++b) {
      if (a == b) continue;
      const Audible by = between(a, b, block, level);
      if (by.is_known() && (!next || by.steps < next->second.steps)) next = {b, by};
    }
    return next;
  }

  const LevelArcs& levels_;
  const Lingers& lingers_;
  const std::vector<std::uint32_t>& goals_;  // of the sentence's phrases
};

}  // namespace

bool Audible::is_audible() const {
  constexpr double kSure = 1.64;  // one in twenty
  return std::abs(steps) >= std::max(1.0, kSure * error);
}

Audible together(const std::optional<Measured>& level, const std::optional<Measured>& time,
                 Seconds interval) {
  Audible sum;
  double variance = 0.0;
  const auto add = [&](const Measured& cue, double step) {
    const double error = cue.error / step;
    const double weight = 1.0 / (1.0 + error * error);
    sum.steps += weight * cue.value / step;
    variance += weight * weight * error * error;
  };
  if (level) {
    add(*level, kLevelStep.value);
    sum.level = {level->value};
  }
  if (time) {
    add(*time, time_step(interval) / interval);
    sum.time = time->value;
  }
  sum.error = std::sqrt(variance);
  return sum;
}

SentenceHeard hear_sentence(const Score& score, const BoundPlan& plan, const Heard& heard,
                            std::size_t sentence) {
  const Block& block = plan.sentences[sentence];
  const Lingers lingers(score, plan, heard, block);
  std::vector<std::uint32_t> goals;
  for (std::uint32_t p = block.first; p < block.first + block.count; ++p) {
    goals.push_back(plan.phrases[p].main);
  }
  SentenceHeard result;
  // Twice: a phrase leads by the goal of the motif that was heard to lead in it.
  constexpr int kRounds = 2;
  for (int round = 0; round < kRounds; ++round) {
    const LevelArcs levels(plan, heard, block, goals);
    const Judge judge(levels, lingers, goals);
    result = {};
    for (std::uint32_t p = 0; p < block.count; ++p) {
      const Block& phrase = plan.phrases[block.first + p];
      result.phrases.push_back(judge.lead_of(phrase, Level::kPhrase));
      for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
        result.motifs.push_back(judge.growth_of(m));
      }
    }
    result.lead = judge.lead_of(block, Level::kSentence);
    result.losses = levels.losses();
    result.pace = lingers.pace();
    bool same = true;
    for (std::uint32_t p = 0; p < block.count; ++p) {
      const Lead& lead = result.phrases[p];
      if (lead.verdict != Verdict::kOtherwise) continue;
      same &= goals[p] == lead.heard;
      goals[p] = lead.heard;
    }
    if (same) break;
  }
  return result;
}

}  // namespace arsis
