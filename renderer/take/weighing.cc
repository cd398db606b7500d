#include "take/weighing.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace arsis {
namespace {

// What nobody hears is no error: a third of the step of level that is noticed, two thirds of that
// of time. dB, dB, seconds.
constexpr std::array<double, kCues> kLeastSpread = {0.3, 0.3, 0.004};
constexpr std::array<double, kCues> kFirstSpread = {0.6, 0.6, 0.010};

}  // namespace

Weighing::Weighing(std::vector<SentenceEvidence> sentences, Start start)
    : sentences_(std::move(sentences)) {
  for (const ArcCue cue : kEveryCue) noise_[index_of(cue)].spread = kFirstSpread[index_of(cue)];
  // Whether the other notes are shaped as the melody is, the take has to say first.
  for (Amount& amount : amounts_[index_of(ArcCue::kUnder)]) amount.value = 0.0;
  for (const SentenceEvidence& sentence : sentences_) {
    State& state = states_.emplace_back();
    for (const Choices& block : sentence.blocks) {
      state.chosen.push_back(start == Start::kAllLead ? 0 : block.none());
      state.odds.emplace_back(block.count());
    }
    for (const ArcCue cue : kEveryCue) {
      state.weights[index_of(cue)].assign(sentence.cues[index_of(cue)].observed.size(), 1.0);
    }
  }
  constexpr int kRounds = 6;
  for (int round = 0; round < kRounds; ++round) {
    all_lead_ = start == Start::kAllLead && round == 0;
    for (std::size_t s = 0; s < sentences_.size(); ++s) {
      for (const ArcCue cue : kEveryCue) {
        const std::size_t i = index_of(cue);
        states_[s].normals[i] = normal_of(sentences_[s].cues[i], states_[s].weights[i], noise_[i]);
      }
      search(s);
    }
    const bool last = round + 1 == kRounds;
    for (const ArcCue cue : kEveryCue) {
      if (!last) fit_amounts(cue);
      refit_noise(cue);
    }
    if (!last && !all_lead_) fit_shares();
  }
}

// A choice as what it adds of each column of its block, from the first on.
Weighing::Added Weighing::added_by(const Choices& block, std::size_t choice, ArcCue cue) const {
  Added added{};
  if (choice == block.none()) {
    added[block.members] = 1.0;
    return added;
  }
  // A motif that falls away does the opposite of one that grows.
  const bool falls = block.level == Level::kMotif && choice == Choices::kFalls;
  const double amount = this->amount(cue, block.level).value * (falls ? -1.0 : 1.0);
  added[block.members] = 1.0 - amount;
  added[falls ? Choices::kGrows : choice] = amount;
  return added;
}

// Logarithm of how likely it is before anything is heard.
double Weighing::chance(const Choices& block, std::size_t choice) const {
  const std::array<double, 3>& shares = shares_[index_of(block.level)];
  if (choice == block.none()) return shares[1];
  if (block.level == Level::kMotif) return shares[choice];
  return shares[0] - std::log(static_cast<double>(block.members));
}

Weighing::Trial Weighing::trial_of(std::size_t sentence) const {
  const std::vector<Choices>& blocks = sentences_[sentence].blocks;
  Trial trial{states_[sentence].chosen, {}, 0.0};
  for (const ArcCue cue : kEveryCue) {
    const Normal& normal = states_[sentence].normals[index_of(cue)];
    std::vector<double> added;
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      const Added own = added_by(blocks[b], trial.chosen[b], cue);
      added.insert(added.end(), own.begin(), own.begin() + blocks[b].members + 1);
    }
    const std::vector<double>& left = trial.left[index_of(cue)] = left_of(normal, added);
    trial.likelihood += (product(added, normal.pull) + product(added, left)) / 2.0;
  }
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    trial.likelihood += chance(blocks[b], trial.chosen[b]);
  }
  return trial;
}

// How much likelier all becomes if one block chooses otherwise.
double Weighing::gain(const Trial& trial, BlockPlace at, std::size_t choice) const {
  const Choices& own = choices(at);
  const std::size_t size = sentences_[at.sentence].columns;
  double sum = chance(own, choice) - chance(own, trial.chosen[at.block]);
  for (const ArcCue cue : kEveryCue) {
    const std::vector<double>& matrix = states_[at.sentence].normals[index_of(cue)].matrix;
    const Added to = added_by(own, choice, cue);
    const Added from = added_by(own, trial.chosen[at.block], cue);
    for (std::size_t a = 0; a <= own.members; ++a) {
      double left = trial.left[index_of(cue)][own.first + a];
      for (std::size_t b = 0; b <= own.members; ++b) {
        left -= matrix[(own.first + a) * size + own.first + b] * (to[b] - from[b]) / 2.0;
      }
      sum += (to[a] - from[a]) * left;
    }
  }
  return sum;
}

void Weighing::move(Trial& trial, BlockPlace at, std::size_t choice) const {
  const Choices& own = choices(at);
  const std::size_t size = sentences_[at.sentence].columns;
  trial.likelihood += gain(trial, at, choice);
  for (const ArcCue cue : kEveryCue) {
    const std::vector<double>& matrix = states_[at.sentence].normals[index_of(cue)].matrix;
    const Added to = added_by(own, choice, cue);
    const Added from = added_by(own, trial.chosen[at.block], cue);
    for (std::size_t a = 0; a < size; ++a) {
      for (std::size_t b = 0; b <= own.members; ++b) {
        trial.left[index_of(cue)][a] -= matrix[a * size + own.first + b] * (to[b] - from[b]);
      }
    }
  }
  trial.chosen[at.block] = choice;
}

// Moves block after block, all but the fixed one, to what is likeliest, until none gains by it.
void Weighing::settle(std::size_t sentence, Trial& trial, std::size_t fixed) const {
  const std::vector<Choices>& blocks = sentences_[sentence].blocks;
  constexpr double kNothing = 1e-9;
  constexpr int kMostSweeps = 20;
  bool moved = true;
  for (int sweep = 0; moved && sweep < kMostSweeps; ++sweep) {
    moved = false;
    for (std::size_t b = 0; b < blocks.size(); ++b) {
      if (b == fixed) continue;
      std::size_t best = trial.chosen[b];
      double most = kNothing;
      for (std::size_t choice = 0; choice < blocks[b].count(); ++choice) {
        if (!is_allowed(blocks[b], choice)) continue;
        const double more = gain(trial, {sentence, b}, choice);
        if (more <= most) continue;
        most = more;
        best = choice;
      }
      if (best == trial.chosen[b]) continue;
      move(trial, {sentence, b}, best);
      moved = true;
    }
  }
}

// Every block in each other choice, the rest following. Result: whether that found better.
bool Weighing::try_all(std::size_t sentence, Trial& best) {
  constexpr double kNothing = 1e-6;
  const std::vector<Choices>& blocks = sentences_[sentence].blocks;
  const Trial from = best;
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    for (std::size_t choice = 0; choice < blocks[b].count(); ++choice) {
      if (!is_allowed(blocks[b], choice)) continue;
      Trial trial = from;
      if (choice != trial.chosen[b]) {
        move(trial, {sentence, b}, choice);
        settle(sentence, trial, b);
      }
      states_[sentence].odds[b][choice] = trial.likelihood;
      if (trial.likelihood <= best.likelihood + kNothing) continue;
      settle(sentence, trial, blocks.size());
      best = std::move(trial);
    }
  }
  return best.likelihood > from.likelihood;
}

void Weighing::search(std::size_t sentence) {
  State& state = states_[sentence];
  Trial best = trial_of(sentence);
  settle(sentence, best, sentences_[sentence].blocks.size());
  constexpr int kMostTries = 8;
  for (int tries = 0; tries < kMostTries && try_all(sentence, best); ++tries) {
  }
  state.chosen = best.chosen;
  for (std::vector<double>& choices : state.odds) {
    const double most = *std::ranges::max_element(choices);
    for (double& one : choices) one -= most;
  }
}

// The amounts, of all levels together, with which the likeliest choices fit best.
void Weighing::fit_amounts(ArcCue cue) {
  std::array<double, kJudgedLevels> pull{};
  std::array<std::array<double, kJudgedLevels>, kJudgedLevels> matrix{};
  for (std::size_t s = 0; s < sentences_.size(); ++s) {
    const Normal& normal = states_[s].normals[index_of(cue)];
    std::vector<double> silent(sentences_[s].columns);    // no block has an arc
    std::array<std::vector<double>, kJudgedLevels> arcs;  // of each level, in the amount 1
    arcs.fill(silent);
    for (std::size_t b = 0; b < sentences_[s].blocks.size(); ++b) {
      const Choices& own = sentences_[s].blocks[b];
      const std::size_t choice = states_[s].chosen[b];
      silent[own.none_column()] = 1.0;
      if (choice == own.none()) continue;
      const bool falls = own.level == Level::kMotif && choice == Choices::kFalls;
      std::vector<double>& arc = arcs[index_of(own.level)];
      arc[own.none_column()] = falls ? 1.0 : -1.0;
      arc[own.first + (falls ? Choices::kGrows : choice)] = falls ? -1.0 : 1.0;
    }
    const std::vector<double> left = left_of(normal, silent);
    for (std::size_t a = 0; a < kJudgedLevels; ++a) {
      pull[a] += product(arcs[a], left);
      const std::vector<double> after = left_of(normal, arcs[a]);
      for (std::size_t b = 0; b < kJudgedLevels; ++b) {
        matrix[a][b] += product(arcs[b], normal.pull) - product(arcs[b], after);
      }
    }
  }
  solve_amounts(pull, matrix, amounts_[index_of(cue)]);
}

void Weighing::fit_shares() {
  std::array<std::array<double, 3>, kJudgedLevels> counts{};
  for (std::array<double, 3>& level : counts) level.fill(1.0);
  for (std::size_t s = 0; s < sentences_.size(); ++s) {
    for (std::size_t b = 0; b < sentences_[s].blocks.size(); ++b) {
      const Choices& own = sentences_[s].blocks[b];
      const std::size_t choice = states_[s].chosen[b];
      const std::size_t kind = choice == own.none() ? 1 : own.level == Level::kMotif ? choice : 0;
      counts[index_of(own.level)][kind] += 1.0;
    }
  }
  for (std::size_t level = 0; level < kJudgedLevels; ++level) {
    const double all = std::accumulate(counts[level].begin(), counts[level].end(), 0.0);
    for (std::size_t kind = 0; kind < 3; ++kind) {
      shares_[level][kind] = std::log(counts[level][kind] / all);
    }
  }
}

void Weighing::refit_noise(ArcCue cue) {
  std::vector<Residuals> residuals;
  for (std::size_t s = 0; s < sentences_.size(); ++s) {
    residuals.push_back(residuals_of(sentences_[s].cues[index_of(cue)], fitted(cue, s)));
  }
  NoiseFit fit = fit_noise(residuals, kLeastSpread[index_of(cue)]);
  noise_[index_of(cue)] = fit.noise;
  likelihoods_[index_of(cue)] = fit.likelihood;
  for (std::size_t s = 0; s < sentences_.size(); ++s) {
    states_[s].weights[index_of(cue)] = std::move(fit.weights[s]);
  }
}

Contrast Weighing::contrast(ArcCue cue, BlockPlace at, std::size_t choice,
                            std::size_t other) const {
  const Choices& own = choices(at);
  const std::vector<double>& matrix = states_[at.sentence].normals[index_of(cue)].matrix;
  const std::size_t size = sentences_[at.sentence].columns;
  const Added to = added_by(own, choice, cue);
  const Added from = added_by(own, other, cue);
  const Trial trial = trial_of(at.sentence);
  const Added now = added_by(own, trial.chosen[at.block], cue);
  // Along the line between the two: the pull at its middle, in halves of its length.
  double square = 0.0;
  double pull = 0.0;
  for (std::size_t a = 0; a <= own.members; ++a) {
    const double direction = to[a] - from[a];
    pull += direction * trial.left[index_of(cue)][own.first + a];
    for (std::size_t b = 0; b <= own.members; ++b) {
      const double entry = matrix[(own.first + a) * size + own.first + b];
      square += direction * entry * (to[b] - from[b]);
      pull += direction * entry * (now[b] - (from[b] + to[b]) / 2.0);
    }
  }
  constexpr double kNothing = 1e-9;
  if (!(square > kNothing)) return {0.0, std::numeric_limits<double>::infinity()};
  return {2.0 * pull / square, 2.0 / std::sqrt(square)};
}

std::vector<double> Weighing::fitted(ArcCue cue, std::size_t sentence) const {
  const CueEvidence& evidence = sentences_[sentence].cues[index_of(cue)];
  std::vector<double> sum(evidence.observed.size());
  for (std::size_t b = 0; b < sentences_[sentence].blocks.size(); ++b) {
    const Choices& own = sentences_[sentence].blocks[b];
    const Added added = added_by(own, states_[sentence].chosen[b], cue);
    for (std::size_t a = 0; a <= own.members; ++a) {
      const std::vector<double>& column = evidence.columns[own.first + a];
      for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += added[a] * column[i];
    }
  }
  return sum;
}

double Weighing::likelihood() const {
  double sum = std::accumulate(likelihoods_.begin(), likelihoods_.end(), 0.0);
  for (std::size_t s = 0; s < sentences_.size(); ++s) {
    for (std::size_t b = 0; b < sentences_[s].blocks.size(); ++b) {
      sum += chance(sentences_[s].blocks[b], states_[s].chosen[b]);
    }
  }
  return sum;
}

Weighing weigh(const std::vector<SentenceEvidence>& sentences) {
  Weighing from_none(sentences, Weighing::Start::kNoneLeads);
  Weighing from_all(sentences, Weighing::Start::kAllLead);
  constexpr double kMuch = 10.0;  // arcs that explain little more than none do are none
  return from_all.likelihood() > from_none.likelihood() + kMuch ? from_all : from_none;
}

}  // namespace arsis
