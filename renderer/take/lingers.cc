#include "take/lingers.h"

#include <map>

#include "shape/arc.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

using Sign = LinearProblem::Sign;

constexpr double kLeastTimeSpread = 0.001;  // seconds: a tick of a common file
constexpr std::size_t kFewestMoments = 6;   // of a sentence
// How much a tempo usually sways within a phrase, how much is lingered at a goal, as shares: a few
// times what a listener notices. Our choice.
constexpr double kUsualSway = 0.1;
constexpr double kUsualLinger = 0.08;
constexpr double kLingerReach = 1.0;  // beats of the signature that a linger fades over

// Those of the stretch that played most of them: across a jump no time can be told.
std::vector<HeardMoment> of_one_stretch(std::span<const HeardMoment> moments) {
  std::map<std::uint32_t, std::size_t> count;
  for (const HeardMoment& moment : moments) ++count[moment.stretch];
  const auto most = std::ranges::max_element(count, {}, [](const auto& one) { return one.second; });
  std::vector<HeardMoment> kept;
  for (const HeardMoment& moment : moments) {
    if (moment.stretch == most->first) kept.push_back(moment);
  }
  return kept;
}

Beats beat_length(const Score& score, Beats at) {
  return score.bars.at(at).signature.beat_length();
}

}  // namespace

Lingers::Lingers(const Score& score, const BoundPlan& plan, const Heard& heard,
                 const Block& sentence)
    : score_(score),
      plan_(plan),
      sentence_(sentence),
      first_motif_(plan.phrases[sentence.first].first) {
  const Span closing = closing_span(score, plan);
  Span span = sentence.span;
  if (closing.length() > kSameMoment) span.end = std::min(span.end, closing.begin + kSameMoment);
  const std::span<const HeardMoment> all = within(heard.moments, span);
  if (all.size() < kFewestMoments) return;
  moments_ = of_one_stretch(all);
  if (moments_.size() < kFewestMoments) return;
  pace_ = (moments_.back().onset - moments_.front().onset) /
          (moments_.back().written - moments_.front().written);
  if (!(*pace_ > 0.0)) {
    pace_.reset();
    return;
  }
  const Block& last = plan.phrases[sentence.first + sentence.count - 1];
  columns_.assign(last.first + last.count - first_motif_, kNone);
  if (columns_.size() + 3 * sentence.count + 1 > LevelArcs::kMostUnknowns) return;
  for (const HeardMoment& moment : moments_) {
    const Seconds even = (moment.written - moments_.front().written) * *pace_;
    problem_.observed.push_back((moment.onset - moments_.front().onset - even).value);
  }
  problem_.add(std::vector<double>(moments_.size(), 1.0), Sign::kEither, LinearProblem::kAnySize);
  add_phrases();
  add_goals();
  add_fermatas();
  fit_ = fit_robustly(problem_, kLeastTimeSpread);
}

// In each phrase a tempo that runs along a parabola: onsets along a cubic.
void Lingers::add_phrases() {
  for (std::uint32_t p = 0; p < sentence_.count; ++p) {
    const Span span = plan_.phrases[sentence_.first + p].span;
    const Seconds begin = score_.tempo.seconds_at(span.begin);
    const Seconds length = score_.tempo.seconds_at(span.end) - begin;
    // Integrals of the first three Legendre polynomials: even, steadily slowing, slower at the
    // ends.
    for (const auto lateness :
         {+[](double x) { return x; }, +[](double x) { return x * (x - 1.0); },
          +[](double x) { return x * (x - 1.0) * (2.0 * x - 1.0); }}) {
      std::vector<double> column;
      for (const HeardMoment& moment : moments_) {
        const double x = std::clamp((moment.written - begin) / length, 0.0, 1.0);
        column.push_back(lateness(x) * length.value * *pace_);
      }
      problem_.add(std::move(column), Sign::kEither, kUsualSway);
    }
  }
}

void Lingers::add_goals() {
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const Block& motif = plan_.motifs[first_motif_ + i];
    const Beats beat = beat_length(score_, motif.goal);
    const Beats reach = beat * kLingerReach;
    // Without moments on either side of it nothing is known of a goal.
    const Beats near = reach * 2.0 + kSameMoment;
    const bool before = !within(moments_, {motif.goal - near, motif.goal}).empty();
    const bool after = !within(moments_, {motif.goal + kSameMoment, motif.goal + near}).empty();
    if (!before || !after) continue;
    const double seconds_per_quarter =
        static_cast<double>(score_.tempo.microseconds_per_quarter_at(motif.goal)) / 1e6 * *pace_;
    std::vector<double> column;
    for (const HeardMoment& moment : moments_) {
      column.push_back(linger_integral(moment.at - motif.goal, reach).value * seconds_per_quarter);
    }
    columns_[i] = problem_.add(std::move(column), Sign::kEither, kUsualLinger);
  }
}

void Lingers::add_fermatas() {
  for (const Fermata& held : plan_.fermatas) {
    if (held.span.end <= sentence_.span.begin || held.span.begin >= sentence_.span.end) continue;
    std::vector<double> column;
    for (const HeardMoment& moment : moments_) {
      column.push_back(std::clamp((moment.at - held.span.begin) / held.span.length(), 0.0, 1.0));
    }
    problem_.add(std::move(column), Sign::kEither, LinearProblem::kAnySize);
    if (problem_.columns.size() >= LevelArcs::kMostUnknowns) return;
  }
}

std::size_t Lingers::column(std::uint32_t motif) const {
  return fit_ && motif - first_motif_ < columns_.size() ? columns_[motif - first_motif_] : kNone;
}

std::optional<Measured> Lingers::at(std::uint32_t motif) const {
  const std::size_t own = column(motif);
  if (own == kNone) return std::nullopt;
  std::vector<double> factors(problem_.columns.size());
  factors[own] = 1.0;
  return Measured{fit_->unknowns[own], error_of(problem_, *fit_, factors)};
}

std::optional<Measured> Lingers::longer(std::uint32_t a, std::uint32_t b) const {
  const std::size_t at_a = column(a);
  const std::size_t at_b = column(b);
  if (at_a == kNone || at_b == kNone) return std::nullopt;
  std::vector<double> factors(problem_.columns.size());
  factors[at_a] = 1.0;
  factors[at_b] = -1.0;
  return Measured{fit_->unknowns[at_a] - fit_->unknowns[at_b], error_of(problem_, *fit_, factors)};
}

Seconds Lingers::beat_at(std::uint32_t motif) const {
  const Beats goal = plan_.motifs[motif].goal;
  const double seconds_per_quarter =
      static_cast<double>(score_.tempo.microseconds_per_quarter_at(goal)) / 1e6;
  return {beat_length(score_, goal).value * seconds_per_quarter * pace_.value_or(1.0)};
}

}  // namespace arsis
