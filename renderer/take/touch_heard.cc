#include "take/touch_heard.h"

#include <cmath>

#include "take/median.h"

namespace arsis {
namespace {

constexpr std::size_t kFewestTogether = 6;  // moments of a part with the melody
constexpr std::size_t kFewestIntervals = 6;

// A note of a line that can be even.
struct LineNote {
  HeardNote heard;
  bool with_melody = false;  // another part's note of the melody is struck at once
};

// The notes of a part that are struck alone in it, by onset.
std::vector<LineNote> line_of(const Score& score, const Heard& heard, std::uint16_t part) {
  std::vector<HeardNote> all;
  for (const std::vector<HeardNote>* notes : {&heard.melody, &heard.others}) {
    for (const HeardNote& note : *notes) {
      if (score.notes[note.note].part == part) all.push_back(note);
    }
  }
  std::ranges::stable_sort(all, {}, &HeardNote::at);
  std::vector<LineNote> line;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Beats at = all[i].at;
    const bool after = i > 0 && same_moment(all[i - 1].at, at);
    const bool before = i + 1 < all.size() && same_moment(at, all[i + 1].at);
    if (after || before) continue;
    const auto melody = within(heard.melody, {at - kSameMoment, at + kSameMoment});
    const bool meets = !melody.empty() && score.notes[melody.front().note].part != part;
    line.push_back({all[i], meets});
  }
  return line;
}

// Four notes in a row, evenly written; all with the melody or none, since its lead delays them.
bool are_even(std::span<const LineNote> four) {
  for (std::size_t i = 1; i < four.size(); ++i) {
    const Beats interval = four[i].heard.at - four[i - 1].heard.at;
    if (!same_moment(four[0].heard.at + interval, four[1].heard.at)) return false;
    if (four[i].with_melody != four[0].with_melody) return false;
  }
  return true;
}

EvennessHeard evenness_of(std::uint16_t part, const std::vector<LineNote>& line, const Take& take) {
  EvennessHeard result;
  result.part = part;
  std::vector<double> times;
  std::vector<double> shares;
  std::vector<double> levels;
  std::vector<double> steps;
  const auto onset = [&](std::size_t i) { return take.notes[line[i].heard.played].onset; };
  const auto below = [&](std::size_t i) { return line[i].heard.below().value; };
  for (std::size_t i = 0; i + 4 <= line.size(); ++i) {
    if (!are_even(std::span(line).subspan(i, 4))) continue;
    const Seconds around = (onset(i + 1) - onset(i) + onset(i + 3) - onset(i + 2)) / 2.0;
    const Seconds middle = onset(i + 2) - onset(i + 1);
    constexpr double kTooFar = 0.5;  // of an interval: something happened there
    const double difference = std::abs((middle - around).value);
    if (!(around.value > 0.0) || difference > kTooFar * around.value) continue;
    times.push_back(difference);
    shares.push_back(difference / around.value);
    steps.push_back(difference / time_step(around).value);
    levels.push_back(std::abs(below(i + 1) - (below(i) + below(i + 2)) / 2.0));
  }
  result.intervals = times.size();
  if (times.size() < kFewestIntervals) return result;
  result.verdict = median_of(std::move(steps)) < 1.0 ? Verdict::kAsPlanned : Verdict::kOtherwise;
  result.time = Seconds{median_of(std::move(times))};
  result.share = median_of(std::move(shares));
  result.level = Decibels{median_of(std::move(levels))};
  return result;
}

// Where a note of the part and one of the melody are struck at one written moment.
struct Together {
  std::vector<double> level;  // of the melody over the part, less what the dynamics say
  std::vector<double> lead;   // seconds
};

BalanceHeard balance_of(const BoundPlan& plan, std::uint16_t part, std::uint16_t melody_part,
                        const Together& together) {
  BalanceHeard balance;
  balance.part = part;
  balance.planned = plan.parts[melody_part].balance - plan.parts[part].balance;
  if (together.level.size() < kFewestTogether) return balance;
  balance.heard = Decibels{median_of(together.level)};
  balance.lead = Seconds{median_of(together.lead)};
  const bool wants_over = balance.planned >= kLevelStep;
  if (*balance.heard >= kLevelStep) {
    balance.verdict = Verdict::kAsPlanned;
  } else if (*balance.heard <= -kLevelStep) {
    balance.verdict = Verdict::kOtherwise;
  } else {
    balance.verdict = wants_over ? Verdict::kNotAudible : Verdict::kAsPlanned;
  }
  return balance;
}

// The error of a line's rise over all points, by how they lie about it: of n even ones about their
// spread times sqrt(12 / n), as in dynamics_heard.cc.
double rise_error(const std::vector<double>& points, double slope) {
  std::vector<double> about;
  for (std::size_t i = 0; i < points.size(); ++i) {
    about.push_back(points[i] - slope * static_cast<double>(i));
  }
  const double middle = median_of(about);
  for (double& one : about) one = std::abs(one - middle);
  const auto count = static_cast<double>(points.size());
  const double spread =
      kNormalSpread * median_of(std::move(about)) * std::sqrt(count / (count - 2.0));
  return spread * std::sqrt(12.0 / count);
}

}  // namespace

TempoHeard hear_tempo(const std::vector<std::optional<double>>& paces) {
  TempoHeard tempo;
  std::vector<double> known;
  for (const auto& pace : paces) {
    if (pace) known.push_back(std::log(*pace));
  }
  if (known.empty()) return tempo;
  tempo.speed = std::exp(-median_of(known));
  constexpr std::size_t kFewestSentences = 3;
  constexpr std::size_t kMostSentences = 200;  // their pairs grow by the square
  if (known.size() < kFewestSentences) return tempo;
  const std::size_t step = known.size() / kMostSentences + 1;
  std::vector<double> slopes;  // Theil and Sen's line, as in dynamics_heard.cc
  for (std::size_t i = 0; i < known.size(); i += step) {
    for (std::size_t j = i + step; j < known.size(); j += step) {
      slopes.push_back((known[j] - known[i]) / static_cast<double>(j - i));
    }
  }
  const auto last = static_cast<double>(known.size() - 1);
  const double slope = median_of(std::move(slopes));
  tempo.drift = std::exp(-slope * last) - 1.0;
  const double step_share = time_step(Seconds{1.0}) / Seconds{1.0};
  const Audible by{.level = std::nullopt,
                   .time = tempo.drift,
                   .steps = *tempo.drift / step_share,
                   .error = rise_error(known, slope) / step_share};
  tempo.verdict = by.is_audible() ? Verdict::kOtherwise : Verdict::kAsPlanned;
  return tempo;
}

std::vector<BalanceHeard> hear_balance(const Score& score, const BoundPlan& plan, const Take& take,
                                       const Heard& heard) {
  std::vector<BalanceHeard> all;
  std::vector<Together> together(score.parts.size());
  std::vector<std::uint16_t> melody_part(score.parts.size(), 0);
  auto melody = heard.melody.begin();
  for (const HeardNote& note : heard.others) {
    while (melody != heard.melody.end() && melody->at < note.at - kSameMoment) ++melody;
    if (melody == heard.melody.end()) break;
    const std::uint16_t part = score.notes[note.note].part;
    const std::uint16_t leading = score.notes[melody->note].part;
    if (!same_moment(melody->at, note.at) || part == leading) continue;
    melody_part[part] = leading;
    together[part].level.push_back((melody->below() - note.below()).value);
    together[part].lead.push_back(
        (take.notes[note.played].onset - take.notes[melody->played].onset).value);
  }
  for (std::uint16_t part = 0; part < together.size(); ++part) {
    if (plan.parts[part].role == Role::kMelody) continue;
    all.push_back(balance_of(plan, part, melody_part[part], together[part]));
  }
  return all;
}

std::vector<EvennessHeard> hear_evenness(const Score& score, const BoundPlan& plan,
                                         const Take& take, const Heard& heard) {
  std::vector<EvennessHeard> all;
  for (std::uint16_t part = 0; part < plan.parts.size(); ++part) {
    all.push_back(evenness_of(part, line_of(score, heard, part), take));
  }
  return all;
}

}  // namespace arsis
