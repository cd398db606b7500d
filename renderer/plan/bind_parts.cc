// Which hand or instrument of the score is which part of the plan.
#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "base/text.h"
#include "plan/binding_steps.h"
#include "score/hands.h"

namespace arsis {
namespace {

bool same_name(std::string_view a, std::string_view b) { return lower_case(a) == lower_case(b); }

bool same_track(const PartPlan& wanted, const Part& part) {
  return (!wanted.track || *wanted.track == part.number) &&
         (!wanted.channel || *wanted.channel == part.channel + 1);
}

bool fits(const PartPlan& wanted, const Part& part) {
  if (wanted.hand != Hand::kBoth && wanted.hand != part.hand) return false;
  if (!wanted.track && !wanted.channel && wanted.hand == Hand::kBoth) {
    return same_name(wanted.name, part.name);
  }
  return same_track(wanted, part);
}

std::string described(const Part& part) {
  std::string text = fmt::format("track {} channel {}", part.number, part.channel + 1);
  if (part.hand != Hand::kBoth) {
    text += fmt::format(" {} hand", kHandNames[static_cast<std::size_t>(part.hand)]);
  }
  if (!part.name.empty()) text += fmt::format(" ('{}')", printable(part.name, 40));
  return text;
}

std::string described_parts(const Score& score) {
  constexpr std::size_t kMostShown = 8;
  std::string text;
  for (std::size_t i = 0; i < std::min(score.parts.size(), kMostShown); ++i) {
    text += (i == 0 ? "" : ", ") + described(score.parts[i]);
  }
  return score.parts.size() > kMostShown ? text + " ..." : text;
}

void claim(Binder& binder, std::size_t index) {
  const PartPlan& wanted = binder.plan.parts[index];
  bool found = false;
  for (std::size_t i = 0; i < binder.score.parts.size(); ++i) {
    if (!fits(wanted, binder.score.parts[i])) continue;
    found = true;
    if (binder.plan_part[i] != Binder::kNoPart) {
      binder.text.refuse(wanted.place,
                         fmt::format("'{}' and '{}' are the same notes: {}", printable(wanted.name),
                                     printable(binder.plan.parts[binder.plan_part[i]].name),
                                     described(binder.score.parts[i])),
                         "give each part its own track or channel");
      continue;
    }
    binder.plan_part[i] = static_cast<std::uint16_t>(index);
  }
  if (!found) {
    binder.text.refuse(
        wanted.place, fmt::format("the score has no notes for '{}'", printable(wanted.name)),
        fmt::format("it has {}; name one by track: and channel:", described_parts(binder.score)));
  }
}

// Without `parts:`, the part that lies highest is the melody.
std::size_t highest_part(const Score& score) {
  std::vector<double> sum(score.parts.size());
  std::vector<double> count(score.parts.size());
  for (const Note& note : score.notes) {
    sum[note.part] += note.key;
    count[note.part] += 1.0;
  }
  std::size_t highest = 0;
  for (std::size_t i = 1; i < sum.size(); ++i) {
    if (sum[i] / count[i] > sum[highest] / count[highest]) highest = i;
  }
  return highest;
}

void fill(Binder& binder) {
  const Tuning& tuning = binder.bound.tuning();
  const std::size_t highest = highest_part(binder.score);
  for (std::size_t i = 0; i < binder.score.parts.size(); ++i) {
    BoundPart& part = binder.bound.parts.emplace_back();
    part.name = binder.score.parts[i].name;
    if (is_pitched(binder.score.parts[i])) part.levels = binder.plan.levels;
    if (binder.plan_part[i] != Binder::kNoPart) {
      const PartPlan& wanted = binder.plan.parts[binder.plan_part[i]];
      part.name = wanted.name;
      part.role = wanted.role;
      part.balance = wanted.balance.value_or(tuning.balance(part.role));
      if (wanted.levels != nullptr) part.levels = wanted.levels;
      continue;
    }
    if (binder.plan.parts.empty() && i == highest) part.role = Role::kMelody;
    part.balance = tuning.balance(part.role);
    if (!binder.plan.parts.empty() && !has_errors(binder.text.diagnostics)) {
      binder.text.doubt(binder.plan.parts.front().place,
                        fmt::format("{} belongs to no part", described(binder.score.parts[i])),
                        "it is played as accompaniment; name it under 'parts:'");
    }
  }
}

}  // namespace

Score with_plan_hands(Score score, const Plan& plan) {
  std::vector<bool> parted(score.parts.size());
  for (std::size_t i = 0; i < parted.size(); ++i) {
    parted[i] = std::ranges::any_of(plan.parts, [&](const PartPlan& wanted) {
      return wanted.hand != Hand::kBoth && same_track(wanted, score.parts[i]);
    });
  }
  if (std::ranges::none_of(parted, std::identity{})) return score;
  return with_hands(std::move(score), parted);
}

void bind_parts(Binder& binder) {
  binder.plan_part.assign(binder.score.parts.size(), Binder::kNoPart);
  for (std::size_t i = 0; i < binder.plan.parts.size(); ++i) claim(binder, i);
  fill(binder);
  const bool has_melody = std::ranges::any_of(
      binder.plan.parts, [](const PartPlan& part) { return part.role == Role::kMelody; });
  if (!has_melody && !binder.plan.parts.empty()) {
    binder.text.refuse(binder.plan.parts.front().place, "no part has the role melody",
                       "blocks lead along a melody; give one part role: melody");
  }
}

}  // namespace arsis
