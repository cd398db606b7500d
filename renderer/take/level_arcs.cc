#include "take/level_arcs.h"

#include <cmath>
#include <numeric>

#include "shape/arc.h"
#include "shape/energy.h"

namespace arsis {
namespace {

using Sign = LinearProblem::Sign;

// What the rounding to whole velocities leaves: half a unit at a mezzo piano.
constexpr double kLeastLevelSpread = 0.15;
constexpr std::size_t kFewestInBlock = 4;  // of a block that is judged
// How deep an arc, how high a sentence usually is: some times what a listener notices, so that a
// depth is believed as soon as there are notes for it. Our choice.
constexpr double kUsualDepth = 3.0;       // dB
constexpr double kUsualMotifDepth = 2.0;  // dB
constexpr std::size_t kTop = 0;           // columns that come first
constexpr std::size_t kMotifs = 1;

}  // namespace

LevelArcs::LevelArcs(const BoundPlan& plan, const Heard& heard, const Block& sentence,
                     const std::vector<std::uint32_t>& goals)
    : plan_(plan), sentence_(sentence), first_motif_(plan.phrases[sentence.first].first) {
  for (const HeardNote& note : within(heard.melody, sentence.span)) {
    if (!note.held_down) notes_.push_back(note);
  }
  for (const HeardNote& note : notes_) problem_.observed.push_back(note.below().value);
  const Block& last = plan.phrases[sentence.first + sentence.count - 1];
  const std::size_t motifs = last.first + last.count - first_motif_;
  if (motifs + sentence.count + 2 > kMostUnknowns) return;
  add_columns(goals);
  if (notes_.size() >= kFewestInBlock) fit_ = fit_robustly(problem_, kLeastLevelSpread);
}

// 1 - arc, as a loss: less where the ceiling leaves little room.
std::vector<double> LevelArcs::column_of(Span span, Beats goal) const {
  std::vector<double> column;
  for (const HeardNote& note : notes_) {
    const bool inside = span.holds(note.at);
    column.push_back(inside ? note.room * (arc(note.at, span, goal) - 1.0) : 0.0);
  }
  return column;
}

void LevelArcs::add_columns(const std::vector<std::uint32_t>& goals) {
  problem_.add(std::vector<double>(notes_.size(), 1.0), Sign::kEither, LinearProblem::kAnySize);
  std::vector<double> motifs(notes_.size());
  for (std::uint32_t p = 0; p < sentence_.count; ++p) {
    const Block& phrase = plan_.phrases[sentence_.first + p];
    for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
      const Block& motif = plan_.motifs[m];
      const std::vector<double> own = column_of(motif.span, motif.goal);
      std::ranges::transform(motifs, own, motifs.begin(), std::plus<>());
    }
  }
  problem_.add(std::move(motifs), Sign::kEither, kUsualMotifDepth);
  for (std::uint32_t p = 0; p < sentence_.count; ++p) {
    const Block& phrase = plan_.phrases[sentence_.first + p];
    for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
      const std::vector<double> column = column_of(phrase.span, plan_.motifs[m].goal);
      motif_columns_.push_back(problem_.add(column, Sign::kNotNegative, kUsualDepth));
    }
  }
  for (std::uint32_t p = 0; p < sentence_.count; ++p) {
    phrase_columns_.push_back(problem_.add(column_of(sentence_.span, plan_.motifs[goals[p]].goal),
                                           Sign::kNotNegative, kUsualDepth));
  }
}

bool LevelArcs::says_enough(const Block& block, Level level) const {
  if (!fit_) return false;
  std::size_t notes = 0;
  std::size_t members = 0;
  for (std::uint32_t i = block.first; i < block.first + block.count; ++i) {
    const Span span = level == Level::kPhrase ? plan_.motifs[i].span : plan_.phrases[i].span;
    const std::size_t of_member = within(notes_, span).size();
    notes += of_member;
    members += of_member > 0 ? 1 : 0;
  }
  return notes >= kFewestInBlock && members >= 2;
}

std::optional<Measured> LevelArcs::louder(Level level, std::uint32_t a, std::uint32_t b) const {
  const bool in_phrase = level == Level::kPhrase;
  const Block& block = in_phrase ? plan_.phrases[plan_.motifs[a].parent] : sentence_;
  if (!says_enough(block, level)) return std::nullopt;
  const std::vector<std::size_t>& columns = in_phrase ? motif_columns_ : phrase_columns_;
  const std::uint32_t first = in_phrase ? first_motif_ : sentence_.first;
  const std::size_t at_a = columns[a - first];
  const std::size_t at_b = columns[b - first];
  double least = 0.0;
  double most = 0.0;
  for (std::size_t i = 0; i < notes_.size(); ++i) {
    const double difference = problem_.columns[at_a][i] - problem_.columns[at_b][i];
    least = std::min(least, difference);
    most = std::max(most, difference);
  }
  const double swing = (most - least) / 2.0;
  std::vector<double> factors(problem_.columns.size());
  factors[at_a] = 1.0;
  factors[at_b] = -1.0;
  return Measured{swing * (fit_->unknowns[at_a] - fit_->unknowns[at_b]),
                  swing * error_of(problem_, *fit_, factors)};
}

std::optional<Measured> LevelArcs::growth(std::uint32_t motif) const {
  if (!fit_) return std::nullopt;
  const Block& block = plan_.motifs[motif];
  std::vector<double> arcs;    // above where the motif begins
  std::vector<double> levels;  // less what phrase and sentence do
  for (std::size_t i = 0; i < notes_.size(); ++i) {
    if (!block.span.holds(notes_[i].at) || notes_[i].at > block.goal) continue;
    arcs.push_back(problem_.columns[kMotifs][i]);
    levels.push_back(fit_->residuals[i] + fit_->unknowns[kMotifs] * arcs.back());
  }
  if (arcs.size() < 2) return std::nullopt;
  const auto count = static_cast<double>(arcs.size());
  const double mean_arc = std::accumulate(arcs.begin(), arcs.end(), 0.0) / count;
  const double mean_level = std::accumulate(levels.begin(), levels.end(), 0.0) / count;
  double square = 0.0;
  double product = 0.0;
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    square += (arcs[i] - mean_arc) * (arcs[i] - mean_arc);
    product += (arcs[i] - mean_arc) * (levels[i] - mean_level);
  }
  constexpr double kNoRise = 0.05;  // of an arc: its notes are all at one height
  if (square < kNoRise) return std::nullopt;
  return Measured{product / square, fit_->spread / std::sqrt(square)};
}

std::vector<LevelArcs::Loss> LevelArcs::losses() const {
  std::vector<Loss> losses;
  if (!fit_) return losses;
  for (std::size_t i = 0; i < notes_.size(); ++i) {
    const double fitted = problem_.observed[i] - fit_->residuals[i];
    losses.push_back({notes_[i].note, {fitted - fit_->unknowns[kTop]}});
  }
  return losses;
}

}  // namespace arsis
