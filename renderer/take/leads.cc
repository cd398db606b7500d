#include "take/leads.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "take/apart.h"
#include "take/model_takes.h"
#include "take/weighing.h"

namespace arsis {
namespace {

constexpr std::size_t kFewestNotes = 4;  // of a block that leads by level, or by time
// A cue of whose amount in the whole take no more than this is known has no say.
constexpr double kVagueAmount = 0.5;
constexpr std::array<ArcCue, 2> kHeardCues = {ArcCue::kLevel, ArcCue::kTime};

// How one cue differs between two choices of a block.
struct CueHeard {
  double model = 0.0;  // as the model has it in the take's own amount; in dB, or a share
  double step = 1.0;   // that can just be noticed, in the same unit
  Contrast contrast;   // of it, as heard

  bool is_known() const { return std::isfinite(contrast.error); }
};

class Judge {
 public:
  // `planned` has the mains that are asked for.
  Judge(const Modelled& modelled, const BoundPlan& planned, const Heard& heard,
        const Weighing& weighing)
      : modelled_(modelled), planned_(planned), heard_(heard), weighing_(weighing) {
    find_scatter();
  }

  Lead lead_of(BlockPlace at) const {
    const Choices& own = choices(at);
    const Block& asked = planned_.level(own.level)[own.block];
    const std::size_t wanted = asked.main - asked.first;
    std::size_t best = 0;
    for (std::size_t k = 1; k < own.members; ++k) {
      if (weighing_.odds(at, k) > weighing_.odds(at, best)) best = k;
    }
    const std::size_t other = best == wanted ? nearest(at, best) : wanted;
    Lead lead{.planned = asked.main,
              .heard = asked.first + static_cast<std::uint32_t>(best),
              .against = asked.first + static_cast<std::uint32_t>(other)};
    lead.by = between(at, best, other);
    if (!lead.by.is_known()) return lead;
    const bool is_heard = lead.by.is_audible() && lead.by.steps > 0.0 &&
                          is_decided(at, best, best == wanted ? kEnoughToPraise : kEnoughToBlame);
    lead.verdict = !is_heard        ? Verdict::kNotAudible
                   : best == wanted ? Verdict::kAsPlanned
                                    : Verdict::kOtherwise;
    return lead;
  }

  Growth growth_of(BlockPlace at) const {
    Growth growth;
    growth.by = between(at, Choices::kGrows, Choices::kFalls);
    if (!growth.by.is_known()) return growth;
    const std::size_t best = weighing_.likeliest(at);
    const bool grows = best == Choices::kGrows;
    const bool is_heard = best != Choices::kNeither && growth.by.is_audible() &&
                          (growth.by.steps > 0.0) == grows &&
                          is_decided(at, best, grows ? kEnoughToPraise : kEnoughToBlame);
    growth.verdict = !is_heard ? Verdict::kNotAudible
                     : grows   ? Verdict::kAsPlanned
                               : Verdict::kOtherwise;
    return growth;
  }

 private:
  const Choices& choices(BlockPlace at) const {
    return weighing_.sentences()[at.sentence].blocks[at.block];
  }

  bool is_decided(BlockPlace at, std::size_t choice, double least) const {
    for (std::size_t k = 0; k < choices(at).count(); ++k) {
      if (k != choice && weighing_.odds(at, choice) - weighing_.odds(at, k) < least) return false;
    }
    return true;
  }

  // The member against which the model itself stands out least.
  std::size_t nearest(BlockPlace at, std::size_t choice) const {
    std::size_t nearest = choice == 0 ? 1 : 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < choices(at).members; ++k) {
      if (k == choice) continue;
      double steps = 0.0;
      for (const ArcCue cue : kHeardCues) {
        const CueHeard one = heard_between(cue, at, choice, k);
        steps += one.model / one.step;
      }
      if (steps >= least) continue;
      least = steps;
      nearest = k;
    }
    return nearest;
  }

  bool has_say(ArcCue cue, const Choices& own) const {
    const Block& block = modelled_.plan.level(own.level)[own.block];
    const auto count = [&](Span span) {
      return cue == ArcCue::kLevel ? within(heard_.melody, span).size()
                                   : within(heard_.moments, span).size();
    };
    if (own.level == Level::kMotif) return count({block.span.begin, block.goal + kSameMoment}) >= 2;
    std::size_t members = 0;
    for (std::uint32_t k = block.first; k < block.first + block.count; ++k) {
      const Level level = own.level == Level::kPhrase ? Level::kMotif : Level::kPhrase;
      members += count(modelled_.plan.level(level)[k].span) > 0 ? 1 : 0;
    }
    return members >= 2 && count(block.span) >= kFewestNotes;
  }

  CueHeard heard_between(ArcCue cue, BlockPlace at, std::size_t choice, std::size_t other) const {
    const Choices& own = choices(at);
    CueHeard result;
    result.contrast = weighing_.contrast(cue, at, choice, other);
    if (!has_say(cue, own)) result.contrast.error = std::numeric_limits<double>::infinity();
    const double amount = weighing_.amount(cue, own.level).value;
    if (cue == ArcCue::kLevel) {
      result.step = kLevelStep.value;
      result.model = amount * level_apart(modelled_, own, choice, other).value;
    } else {
      const Seconds beat = beat_at_goal(modelled_, own, choice);
      result.step = time_step(beat) / beat;
      result.model = amount * time_apart(modelled_, own, choice, other);
    }
    return result;
  }

  // Both cues in steps, added up; each drawn towards what the likeliest choice has in the model by
  // how vague it is.
  Audible between(BlockPlace at, std::size_t choice, std::size_t other) const {
    Audible sum;
    double variance = 0.0;
    const std::size_t likeliest = weighing_.likeliest(at);
    const double expected = likeliest == choice ? 1.0 : likeliest == other ? -1.0 : 0.0;
    for (const ArcCue cue : kHeardCues) {
      const CueHeard one = heard_between(cue, at, choice, other);
      const double value = one.contrast.amplitude * one.model;
      if (one.is_known() && cue == ArcCue::kLevel) sum.level = Decibels{value};
      if (one.is_known() && cue == ArcCue::kTime) sum.time = value;
      const Level level = choices(at).level;
      if (weighing_.amount(cue, level).error > kVagueAmount) continue;
      const double scatter = scatter_[index_of(cue)][index_of(level)];
      const double error = one.is_known() ? one.contrast.error * one.contrast.error : 0.0;
      const double trust = one.is_known() && scatter > 0.0 ? scatter / (scatter + error) : 0.0;
      const double in_steps = one.model / one.step;
      sum.steps += (expected + trust * (one.contrast.amplitude - expected)) * in_steps;
      variance += trust * error * in_steps * in_steps;
    }
    sum.error = std::sqrt(variance);
    return sum;
  }

  struct Scatter {
    double sum = 0.0;
    double weight = 0.0;
  };

  // What one block's cue says of how much the amounts of single blocks scatter: the square by which
  // it differs from the take's, less that of its error.
  void add_scatter(Scatter& scatter, ArcCue cue, BlockPlace at) const {
    const Choices& own = choices(at);
    const std::size_t choice = weighing_.likeliest(at);
    if (choice == own.none()) return;
    const bool motif = own.level == Level::kMotif;
    const std::size_t other =
        motif ? Choices::kGrows + Choices::kFalls - choice : nearest(at, choice);
    const CueHeard one = heard_between(cue, at, choice, other);
    if (!one.is_known()) return;
    constexpr double kRounding = 0.01;
    const double error = one.contrast.error * one.contrast.error;
    const double weight = 1.0 / ((error + kRounding) * (error + kRounding));
    const double away = one.contrast.amplitude - 1.0;
    scatter.sum += weight * (away * away - error);
    scatter.weight += weight;
  }

  // Beyond what chance makes of it (two standard errors).
  void find_scatter() {
    std::array<std::array<Scatter, kJudgedLevels>, kCues> all{};
    for (std::size_t s = 0; s < weighing_.sentences().size(); ++s) {
      for (std::size_t b = 0; b < weighing_.sentences()[s].blocks.size(); ++b) {
        for (const ArcCue cue : kHeardCues) {
          add_scatter(all[index_of(cue)][index_of(choices({s, b}).level)], cue, {s, b});
        }
      }
    }
    for (std::size_t cue = 0; cue < kCues; ++cue) {
      for (std::size_t level = 0; level < kJudgedLevels; ++level) {
        const auto [sum, weight] = all[cue][level];
        if (weight <= 0.0) continue;
        scatter_[cue][level] = std::max(0.0, sum / weight - 2.0 * std::sqrt(2.0 / weight));
      }
    }
  }

  const Modelled& modelled_;
  const BoundPlan& planned_;
  const Heard& heard_;
  const Weighing& weighing_;
  std::array<std::array<double, kJudgedLevels>, kCues> scatter_{};  // squares of ratios
};

// What is likeliest of each block that has a choice; a motif that falls away has no arc.
Leaders as_heard(Leaders leaders, const Weighing& weighing) {
  for (std::size_t s = 0; s < weighing.sentences().size(); ++s) {
    const std::vector<Choices>& blocks = weighing.sentences()[s].blocks;
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      const std::size_t choice = weighing.likeliest({s, b});
      leaders.leads[index_of(blocks[b].level)][blocks[b].block] =
          choice >= blocks[b].none() ? Leaders::kNone : static_cast<std::uint32_t>(choice);
    }
  }
  return leaders;
}

void add_losses(std::vector<Loss>& losses, const std::vector<std::uint32_t>& notes,
                const ModelTakes& model_takes, const std::vector<double>& fitted) {
  for (std::size_t i = 0; i < notes.size(); ++i) {
    losses.push_back({notes[i], model_takes.base.levels[notes[i]] + Decibels{fitted[i]} -
                                    model_takes.flat.levels[notes[i]]});
  }
}

std::vector<Lead> unknown_leads(const std::vector<Block>& blocks) {
  std::vector<Lead> leads;
  for (const Block& block : blocks) {
    leads.push_back({.planned = block.main, .heard = block.main, .against = block.main});
  }
  return leads;
}

LeadsHeard nothing_heard(const BoundPlan& plan) {
  LeadsHeard result;
  result.sentences = unknown_leads(plan.sentences);
  result.phrases = unknown_leads(plan.phrases);
  result.motifs.resize(plan.motifs.size());
  return result;
}

LeadsHeard judge_all(const Modelled& modelled, const BoundPlan& plan, const Heard& heard,
                     const Weighing& weighing) {
  const Judge judge(modelled, plan, heard, weighing);
  LeadsHeard result = nothing_heard(plan);
  for (std::size_t s = 0; s < weighing.sentences().size(); ++s) {
    const std::vector<Choices>& blocks = weighing.sentences()[s].blocks;
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      const std::uint32_t index = blocks[b].block;
      if (blocks[b].level == Level::kMotif) {
        result.motifs[index] = judge.growth_of({s, b});
      } else {
        (blocks[b].level == Level::kPhrase ? result.phrases : result.sentences)[index] =
            judge.lead_of({s, b});
      }
    }
    add_losses(result.losses, weighing.sentences()[s].cues[index_of(ArcCue::kLevel)].notes,
               modelled.model_takes, weighing.fitted(ArcCue::kLevel, s));
  }
  std::ranges::sort(result.losses, {}, &Loss::note);
  return result;
}

}  // namespace

bool Audible::is_audible() const {
  constexpr double kSure = 1.64;  // one in twenty
  return std::abs(steps) >= std::max(1.0, kSure * error);
}

LeadsHeard hear_leads(const Score& score, const BoundPlan& plan, const Heard& heard) {
  if (heard.moments.size() < kFewestNotes) return nothing_heard(plan);
  // What several choices do at once is more than what each does alone (diminuendos, units that keep
  // their length), so all is held against the reading that was heard once it is known.
  constexpr int kMostReadings = 4;
  Leaders base = leaders_of(plan);
  for (int reading = 1;; ++reading) {
    const BoundPlan based = with_leaders(plan, base);
    const ModelTakes model_takes = model_takes_of(score, plan, base);
    std::vector<SentenceEvidence> evidence;
    for (std::size_t s = 0; s < plan.sentences.size(); ++s) {
      evidence.push_back(evidence_of(score, based, heard, model_takes, s));
    }
    const Weighing weighing = weigh(evidence);
    Leaders next = as_heard(base, weighing);
    if (reading < kMostReadings && next != base) {
      base = std::move(next);
      continue;
    }
    return judge_all({score, based, model_takes}, plan, heard, weighing);
  }
}

}  // namespace arsis
