// Written dynamics: which member is louder, and which way the hairpins go.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "draft/comparison.h"
#include "draft/evidence.h"

namespace arsis {
namespace {

constexpr double kFullLead = 1.0;  // steps
constexpr double kHairpinLead =
    0.5;                           // at least, of a full lead, where a hairpin makes the difference
constexpr Decibels kStep{3.75};    // of velocities: between the plan's 3 dB up and 4.5 dB down
constexpr Decibels kNoticed{1.0};  // a difference that a listener notices
constexpr double kWorthWords = 0.1;

const DynamicCourse* course_of(const Surface& surface, Span member) {
  const std::span<const LineNote> line = surface.line_within(member);
  std::size_t index = 0;
  if (!line.empty()) {
    const Note& note = surface.material.score.notes[line.front().note];
    index = surface.material.bound.parts[note.part].dynamics;
  }
  return index < surface.dynamics.size() && surface.dynamics[index].written()
             ? &surface.dynamics[index]
             : nullptr;
}

// The mean level of the line's velocities, in steps.
std::optional<double> played_step(const Surface& surface, Span member) {
  Decibels sum;
  double pulses = 0.0;
  for (const LineNote& note : surface.line_within(member)) {
    sum += level_of(surface.material.score.notes[note.note].velocity) * note.pulses();
    pulses += note.pulses();
  }
  if (pulses <= 0.0) return std::nullopt;
  return sum / pulses / kStep;
}

Findings by_velocity(const Surface& surface, const Members& members) {
  std::vector<std::optional<double>> steps;
  for (const Span& member : members.spans) steps.push_back(played_step(surface, member));
  Findings findings(steps.size());
  const auto [least, most] = std::ranges::minmax(
      steps, {}, [&](const std::optional<double>& step) { return step.value_or(0.0); });
  const bool some_missing =
      std::ranges::any_of(steps, [](const auto& step) { return !step.has_value(); });
  if (some_missing || kStep * (*most - *least) < kNoticed) return findings;
  const std::vector<double> scores = compared(steps, kFullLead);
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = scores[i];
    if (scores[i] > kWorthWords) findings[i].words = "played louder in the score";
  }
  return findings;
}

std::string_view mark_of(double step) {
  const auto names = dynamic_names();
  const int softest = *dynamic_step(names.front());
  const auto index = std::clamp<std::ptrdiff_t>(std::lround(step) - softest, 0,
                                                static_cast<std::ptrdiff_t>(names.size()) - 1);
  return names[static_cast<std::size_t>(index)];
}

// "written louder (f after p)": against the member before, or after the first.
std::string marks_compared(const std::vector<std::optional<double>>& steps, std::size_t i,
                           bool louder) {
  const bool has_before = i > 0;
  const std::string_view own = mark_of(*steps[i]);
  const std::string_view other = mark_of(*steps[has_before ? i - 1 : i + 1]);
  const std::string_view word = louder ? "written louder" : "written softer";
  if (own == other) return std::string(word);
  return fmt::format("{} ({} {} {})", word, own, has_before ? "after" : "before", other);
}

std::string words_for(const DynamicCourse& course, Span member, double score,
                      const std::vector<std::optional<double>>& steps, std::size_t i) {
  constexpr double kThrough = 0.5;  // of the member, that a hairpin covers
  if (std::abs(score) < kWorthWords) return {};
  const DynamicCourse::Hairpins rising = course.hairpins(member, false);
  const DynamicCourse::Hairpins falling = course.hairpins(member, true);
  if (score > 0.0) {
    if (rising.from_before) return "the crescendo leads to it";
    if (falling.to_after && !falling.from_before) return "the diminuendo leads away from it";
    if (rising.share >= kThrough) return "crescendo through it";
  } else {
    if (falling.share >= kThrough) return "diminuendo through it";
    if (rising.to_after) return "the crescendo goes on after it";
  }
  return marks_compared(steps, i, score > 0.0);
}

// The lead that the hairpins through a block are worth at least: the full kHairpinLead where they
// cover half of it.
double hairpin_lead(const DynamicCourse& course, const Members& members) {
  const Span block{members.spans.front().begin, members.spans.back().end};
  const double share = course.hairpins(block, false).share + course.hairpins(block, true).share;
  return kHairpinLead * std::min(1.0, 2.0 * share);
}

}  // namespace

Findings dynamics_evidence(const Surface& surface, const Members& members) {
  std::vector<const DynamicCourse*> courses;
  for (const Span& member : members.spans) courses.push_back(course_of(surface, member));
  Findings findings(members.spans.size());
  if (members.spans.size() < 2) return findings;
  if (std::ranges::find(courses, nullptr) != courses.end()) return by_velocity(surface, members);
  std::vector<std::optional<double>> steps;
  for (std::size_t i = 0; i < courses.size(); ++i) {
    steps.emplace_back(courses[i]->mean_step(members.spans[i]));
  }
  std::vector<double> scores = compared(steps, kFullLead);
  const double lead = *std::ranges::max_element(scores);
  const double least = hairpin_lead(*courses[0], members);
  const double lift = lead > 0.0 && lead < least ? least / lead : 1.0;
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = std::clamp(scores[i] * lift, -1.0, 1.0);
    findings[i].words = words_for(*courses[i], members.spans[i], findings[i].score, steps, i);
  }
  return findings;
}

}  // namespace arsis
