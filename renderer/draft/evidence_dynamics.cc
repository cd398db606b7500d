// Written dynamics: which member is louder, and which way the hairpins go.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "draft/comparison.h"
#include "draft/evidence.h"

namespace arsis {
namespace {

constexpr double kFullDynamicLead = 1.0;  // steps
constexpr double kHairpinLead = 0.5;      // of a full lead at least, where hairpins go through
constexpr Decibels kStep{3.75};    // of velocities: between the plan's 3 dB up and 4.5 dB down
constexpr Decibels kNoticed{1.0};  // a difference that a listener notices

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
  const std::vector<double> scores = compared(steps, kFullDynamicLead);
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = scores[i];
    if (scores[i] > kWorthWords) findings[i].words = "played louder in the score";
  }
  return findings;
}

// The mark that holds through the whole member, if one does.
std::optional<std::string_view> mark_of(const DynamicCourse& course, Span member) {
  const double step = course.step_at(member.begin);
  const bool holds = std::abs(course.mean_step(member) - step) < 1e-9 && step == std::round(step);
  if (!holds) return std::nullopt;
  const auto names = dynamic_names();
  const auto found = std::ranges::find_if(
      names, [&](std::string_view name) { return *dynamic_step(name) == std::lround(step); });
  return found == names.end() ? std::nullopt : std::optional(*found);
}

// A member with its course, its neighbour (the one before, or after the first) with its own.
struct Compared {
  const DynamicCourse& course;
  Span member;
  const DynamicCourse& other_course;
  Span other;
  bool other_is_before = false;
};

// "written louder (f after p)".
std::string marks_compared(const Compared& pair, bool louder) {
  const std::string_view word = louder ? "written louder" : "written softer";
  const auto own = mark_of(pair.course, pair.member);
  const auto other = mark_of(pair.other_course, pair.other);
  if (!own || !other || *own == *other) return std::string(word);
  return fmt::format("{} ({} {} {})", word, *own, pair.other_is_before ? "after" : "before",
                     *other);
}

std::string words_for(const Compared& pair, double score) {
  constexpr double kThrough = 0.5;  // of the member, that a hairpin covers
  if (std::abs(score) < kWorthWords) return {};
  const DynamicCourse::Hairpins rising = pair.course.hairpins(pair.member, false);
  const DynamicCourse::Hairpins falling = pair.course.hairpins(pair.member, true);
  if (score > 0.0) {
    if (rising.from_before) return "the crescendo leads to it";
    if (falling.to_after && !falling.from_before) return "the diminuendo leads away from it";
    if (rising.share >= kThrough) return "crescendo through it";
  } else {
    if (falling.share >= kThrough) return "diminuendo through it";
    if (rising.to_after) return "the crescendo goes on after it";
  }
  return marks_compared(pair, score > 0.0);
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
  std::vector<double> scores = compared(steps, kFullDynamicLead);
  const double lead = *std::ranges::max_element(scores);
  const double least = hairpin_lead(*courses[0], members);
  const double lift = lead > 0.0 && lead < least ? least / lead : 1.0;
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = std::clamp(scores[i] * lift, -1.0, 1.0);
    const std::size_t other = i > 0 ? i - 1 : 1;
    findings[i].words =
        words_for({*courses[i], members.spans[i], *courses[other], members.spans[other], i > 0},
                  findings[i].score);
  }
  return findings;
}

}  // namespace arsis
