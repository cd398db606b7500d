#include "take/piece_lead.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "shape/arc.h"
#include "shape/energy.h"
#include "shape/level.h"
#include "take/cue_fit.h"
#include "take/median.h"

namespace arsis {
namespace {

constexpr std::size_t kFewestSentences = 3;
constexpr std::size_t kMostSentences = 200;
constexpr std::size_t kFewestForWritten = 5;  // sentences that tell how far the dynamics go
constexpr std::size_t kFewestOfSentence = 4;  // notes
constexpr double kLeastError = 0.3;           // dB, of a sentence's level

class Sentences {
 public:
  Sentences(const BoundPlan& plan, const Heard& heard, const std::vector<Loss>& losses)
      : plan_(plan), piece_(plan.piece.front()) {
    evidence_.columns.resize(piece_.count);
    std::vector<double> written;
    for (const Block& sentence : plan.sentences) {
      add(within(heard.melody, sentence.span), losses, written);
    }
    const std::size_t played = evidence_.observed.size();
    evidence_.errors.assign(played, 1.0);
    evidence_.beside.emplace_back(played, 1.0);
    if (played >= kFewestForWritten) evidence_.beside.push_back(std::move(written));
  }

  std::size_t played() const { return evidence_.observed.size(); }

  // Fits each choice; result: the likeliest.
  std::uint32_t fit() {
    const std::vector<double> even(played(), 1.0);
    normal_ = normal_of(evidence_, even, {1.0, 0.0});
    std::uint32_t best = 0;
    for (std::uint32_t k = 1; k < piece_.count; ++k) {
      if (likelihood(k) > likelihood(best)) best = k;
    }
    const Residuals left = residuals_of(evidence_, evidence_.columns[best]);
    const double free = std::max(1.0, left.free - 1.0);
    const double error = std::max(kLeastError, std::sqrt(product(left.left, left.left) / free));
    normal_ = normal_of(evidence_, even, {error, 0.0});
    return best;
  }

  // Logarithm, against no arc at all.
  double likelihood(std::uint32_t k) const { return normal_.pull[k] - entry(k, k) / 2.0; }

  // Half of what the piece's arcs differ by over its sentences.
  double apart(std::uint32_t a, std::uint32_t b) const {
    double least = std::numeric_limits<double>::infinity();
    double most = -least;
    for (std::size_t i = 0; i < played(); ++i) {
      const double difference = evidence_.columns[a][i] - evidence_.columns[b][i];
      least = std::min(least, difference);
      most = std::max(most, difference);
    }
    return (most - least) / 2.0;
  }

  std::uint32_t nearest(std::uint32_t k) const {
    std::uint32_t nearest = k == 0 ? 1 : 0;
    for (std::uint32_t other = 0; other < piece_.count; ++other) {
      if (other != k && apart(k, other) < apart(k, nearest)) nearest = other;
    }
    return nearest;
  }

  // Where the take lies between two choices, times what they are apart.
  Audible between(std::uint32_t a, std::uint32_t b) const {
    const double square = entry(a, a) - 2.0 * entry(a, b) + entry(b, b);
    constexpr double kNothing = 1e-9;
    Audible by;
    by.level = Decibels{0.0};
    if (!(square > kNothing)) return by;
    const double pull = normal_.pull[a] - normal_.pull[b] - (entry(a, a) - entry(b, b)) / 2.0;
    by.level = Decibels{2.0 * pull / square * apart(a, b)};
    by.steps = *by.level / kLevelStep;
    by.error = 2.0 / std::sqrt(square) * apart(a, b) / kLevelStep.value;
    return by;
  }

 private:
  void add(std::span<const HeardNote> notes, const std::vector<Loss>& losses,
           std::vector<double>& written) {
    const Decibels depth = plan_.tunings[piece_.tuning].depth(Level::kPiece);
    const Decibels floor = plan_.tuning().decibels(Constant::kFloor);
    std::vector<double> levels;
    std::vector<double> ceilings;
    std::vector<double> arcs(piece_.count);
    BlockFinder finder(plan_);
    for (const HeardNote& note : notes) {
      const auto loss = std::ranges::lower_bound(losses, note.note, {}, &Loss::note);
      if (note.held_down || loss == losses.end() || loss->note != note.note) continue;
      levels.push_back((note.below() - loss->loss).value);
      ceilings.push_back(note.ceiling.value);
      const Decibels deepest = arc_loss(plan_, finder.at(note.at), note.at, {}).deepest;
      const double most = room(note.ceiling, deepest, floor) * depth.value;
      for (std::uint32_t k = 0; k < piece_.count; ++k) {
        arcs[k] += most * (arc(note.at, piece_.span, plan_.sentences[k].goal) - 1.0);
      }
    }
    if (levels.size() < kFewestOfSentence) return;
    for (std::uint32_t k = 0; k < piece_.count; ++k) {
      evidence_.columns[k].push_back(arcs[k] / static_cast<double>(levels.size()));
    }
    evidence_.observed.push_back(median_of(std::move(levels)));
    written.push_back(median_of(std::move(ceilings)));
  }

  double entry(std::uint32_t a, std::uint32_t b) const {
    return normal_.matrix[static_cast<std::size_t>(a) * piece_.count + b];
  }

  const BoundPlan& plan_;
  const Block& piece_;
  CueEvidence evidence_;
  Normal normal_;
};

bool is_decided(const Sentences& sentences, std::uint32_t count, std::uint32_t choice,
                double least) {
  if (sentences.likelihood(choice) < least) return false;
  for (std::uint32_t k = 0; k < count; ++k) {
    if (k == choice) continue;
    if (sentences.likelihood(choice) - sentences.likelihood(k) < least) return false;
  }
  return true;
}

}  // namespace

std::optional<Lead> hear_piece(const BoundPlan& plan, const Heard& heard,
                               const std::vector<Loss>& losses) {
  if (plan.piece.empty()) return std::nullopt;
  const Block& piece = plan.piece.front();
  Lead lead{.planned = piece.main, .heard = piece.main, .against = piece.main};
  if (piece.count > kMostSentences) return lead;
  Sentences sentences(plan, heard, losses);
  if (sentences.played() < kFewestSentences) return lead;
  lead.heard = sentences.fit();
  const bool planned = lead.heard == lead.planned;
  lead.against = planned ? sentences.nearest(lead.heard) : lead.planned;
  lead.by = sentences.between(lead.heard, lead.against);
  const bool is_heard =
      lead.by.is_audible() &&
      is_decided(sentences, piece.count, lead.heard, planned ? kEnoughToPraise : kEnoughToBlame);
  lead.verdict = !is_heard ? Verdict::kNotAudible
                 : planned ? Verdict::kAsPlanned
                           : Verdict::kOtherwise;
  return lead;
}

}  // namespace arsis
