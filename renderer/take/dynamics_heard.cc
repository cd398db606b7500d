#include "take/dynamics_heard.h"

#include <algorithm>
#include <cmath>

#include "take/median.h"

namespace arsis {
namespace {

constexpr std::size_t kFewestOfLevel = 3;  // of a written level
constexpr std::size_t kFewestInHairpin = 4;
constexpr double kMedianError =
    1.2533;  // error of a median over a mean's, of the normal distribution

// A note's level on its dynamic line.
struct Point {
  Beats at;
  double level = 0.0;  // dB
};

// Error of one level, by how it differs from the middle of its neighbours.
double noise_of(std::span<const Point> points) {
  std::vector<double> bends;
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    bends.push_back(std::abs(points[i].level - (points[i - 1].level + points[i + 1].level) / 2.0));
  }
  return kNormalSpread * median_of(std::move(bends)) / std::sqrt(1.5);
}

double median_level(std::span<const Point> points) {
  std::vector<double> levels;
  for (const Point& point : points) levels.push_back(point.level);
  return median_of(std::move(levels));
}

// The middle of all slopes from a point to a later one, times the length.
//   Source: Theil 1950, Sen 1968 (from memory).
double rise_of(std::span<const Point> points, Beats length) {
  constexpr std::size_t kMost = 200;  // points: their pairs grow by the square
  const std::size_t step = points.size() / kMost + 1;
  std::vector<double> slopes;
  for (std::size_t i = 0; i < points.size(); i += step) {
    for (std::size_t j = i + step; j < points.size(); j += step) {
      if (!same_moment(points[i].at, points[j].at)) {
        slopes.push_back((points[j].level - points[i].level) / (points[j].at - points[i].at).value);
      }
    }
  }
  return median_of(std::move(slopes)) * length.value;
}

Verdict verdict_of(double change, double wanted, double error) {
  const Audible by{.level = Decibels{change},
                   .time = std::nullopt,
                   .steps = change / kLevelStep.value,
                   .error = error / kLevelStep.value};
  if (!by.is_audible()) return Verdict::kNotAudible;
  return (change > 0.0) == (wanted > 0.0) ? Verdict::kAsPlanned : Verdict::kOtherwise;
}

// One dynamic line with the notes that follow it.
class Line {
 public:
  Line(const Score& score, const BoundPlan& plan, const Heard& heard,
       const std::vector<Loss>& losses, std::uint32_t index)
      : line_(plan.dynamics[index]), end_(score.end()), index_(index) {
    const auto follows = [&](const HeardNote& note) {
      return plan.parts[score.notes[note.note].part].dynamics == index;
    };
    for (const HeardNote& note : heard.melody) {
      if (follows(note)) add(note, losses);
    }
    if (!free_of_arcs_.empty()) return;
    for (const HeardNote& note : heard.others) {
      if (follows(note)) add(note, losses);
    }
  }

  void hear(DynamicsHeard& result) const {
    hear_changes(result);
    for (const DynamicStretch& stretch : line_) {
      if (stretch.is_hairpin() && stretch.begin_step != stretch.end_step) {
        result.hairpins.push_back(hear_hairpin(stretch));
      }
    }
  }

 private:
  void add(const HeardNote& note, const std::vector<Loss>& losses) {
    const auto found = std::ranges::lower_bound(losses, note.note, {}, &Loss::note);
    const bool known = found != losses.end() && found->note == note.note;
    as_played_.push_back({note.at, note.level.value});
    held_down_.push_back(note.held_down);
    free_of_arcs_.push_back({note.at, note.level.value - (known ? found->loss.value : 0.0)});
  }

  // Levels that hold, one after the other; those of too few notes are passed over.
  void hear_changes(DynamicsHeard& result) const {
    const double noise = noise_of(free_of_arcs_);
    std::optional<double> before;
    double error_before = 0.0;
    int step = 0;
    for (std::size_t i = 0; i < line_.size(); ++i) {
      const Span span{line_[i].to, i + 1 < line_.size() ? line_[i + 1].from : end_};
      const std::span<const Point> points = within(free_of_arcs_, span);
      if (points.size() < kFewestOfLevel) continue;
      const double level = median_level(points);
      const double error = kMedianError * noise / std::sqrt(static_cast<double>(points.size()));
      if (before && step != line_[i].end_step) {
        DynamicChange change;
        change.line = index_;
        change.at = span.begin;
        change.from_step = step;
        change.to_step = line_[i].end_step;
        change.heard = {level - *before};
        change.verdict = verdict_of(change.heard.value, line_[i].end_step - step,
                                    std::hypot(error, error_before));
        result.changes.push_back(change);
      }
      before = level;
      error_before = error;
      step = line_[i].end_step;
    }
  }

  HairpinHeard hear_hairpin(const DynamicStretch& stretch) const {
    HairpinHeard hairpin;
    hairpin.line = index_;
    hairpin.span = {stretch.from, stretch.to};
    hairpin.falls = stretch.end_step < stretch.begin_step;
    const Span span{stretch.from, stretch.to + kSameMoment};
    const std::span<const Point> played = within(as_played_, span);
    const std::span<const Point> points = within(free_of_arcs_, span);
    if (points.size() < kFewestInHairpin) return hairpin;
    hairpin.heard = {rise_of(points, hairpin.span.length())};
    hairpin.verdict = way_of(hairpin, points);
    if (hairpin.falls) hear_swell(hairpin, played);
    return hairpin;
  }

  // Which way it goes by these levels.
  static Verdict way_of(const HairpinHeard& hairpin, std::span<const Point> points) {
    // Of a line through n even points the error of its rise is about the noise times sqrt(12 / n).
    const double error = noise_of(points) * std::sqrt(12.0 / static_cast<double>(points.size()));
    return verdict_of(rise_of(points, hairpin.span.length()), hairpin.falls ? -1.0 : 1.0, error);
  }

  // By the medians of three notes each, so that no single one swells.
  void hear_swell(HairpinHeard& hairpin, std::span<const Point> played) const {
    const auto first = static_cast<std::size_t>(played.data() - as_played_.data());
    const bool held =
        std::all_of(held_down_.begin() + static_cast<std::ptrdiff_t>(first),
                    held_down_.begin() + static_cast<std::ptrdiff_t>(first + played.size()),
                    [](bool one) { return one; });
    if (!held) return;
    double lowest = 0.0;
    double most = 0.0;
    for (std::size_t i = 0; i + 3 <= played.size(); ++i) {
      const double level = median_level(played.subspan(i, 3));
      lowest = i == 0 ? level : std::min(lowest, level);
      if (level - lowest <= most) continue;
      most = level - lowest;
      hairpin.swells_at = played[i + 1].at;
    }
    hairpin.swell = Decibels{most};
    constexpr double kSure = 2.5;  // of one level's errors: the greatest of several rises
    const bool swells = most >= kLevelStep.value && most >= kSure * noise_of(played);
    if (swells || way_of(hairpin, played) == Verdict::kOtherwise) {
      hairpin.verdict = Verdict::kOtherwise;
    }
  }

  const DynamicLine& line_;
  Beats end_;
  std::uint32_t index_;
  std::vector<Point> as_played_;
  std::vector<Point> free_of_arcs_;
  std::vector<bool> held_down_;
};

}  // namespace

DynamicsHeard hear_dynamics(const Score& score, const BoundPlan& plan, const Heard& heard,
                            const std::vector<Loss>& losses) {
  DynamicsHeard result;
  for (std::uint32_t line = 0; line < plan.dynamics.size(); ++line) {
    const bool followed = std::ranges::count(plan.parts, line, &BoundPart::dynamics) > 0;
    if (followed) Line(score, plan, heard, losses, line).hear(result);
  }
  return result;
}

}  // namespace arsis
