#include "take/passages.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

namespace arsis {
namespace {

constexpr std::size_t kFewestSteps = 5;  // of a passage between two jumps
// How far from a passage's own steps its first and last moments are looked for.
constexpr std::uint32_t kMostAdded = 4;
constexpr Seconds kNear{0.2};

double slope(const TimeMap::Knot& a, const TimeMap::Knot& b) {
  return (b.second - a.second).value / (b.beat - a.beat).value;
}

Seconds on_line(const TimeMap::Knot& a, const TimeMap::Knot& b, Beats beat) {
  return a.second + Seconds{slope(a, b) * (beat - a.beat).value};
}

// Whether a knot is far off the line through its neighbours, and off that through theirs.
bool is_stray(std::span<const TimeMap::Knot> knots, std::size_t i) {
  constexpr double kStray = 0.12;  // seconds, and a share of the interval beside
  constexpr double kStrayShare = 0.25;
  if (i < 2 || i + 2 >= knots.size()) return false;
  const double near = (knots[i].second - on_line(knots[i - 1], knots[i + 1], knots[i].beat)).value;
  const double far = (knots[i].second - on_line(knots[i - 2], knots[i + 2], knots[i].beat)).value;
  const double gap = (knots[i + 1].second - knots[i - 1].second).value;
  const double most = kStray + kStrayShare * std::max(0.0, gap);
  return std::abs(near) > most && std::abs(far) > most && near * far > 0.0;
}

std::vector<TimeMap::Knot> medians(std::span<const Sounding> soundings) {
  std::vector<TimeMap::Knot> knots;
  for (std::size_t begin = 0; begin < soundings.size();) {
    std::size_t end = begin;
    std::vector<Seconds> onsets;
    while (end < soundings.size() && soundings[end].beat == soundings[begin].beat) {
      onsets.push_back(soundings[end++].onset);
    }
    const auto middle = onsets.begin() + static_cast<std::ptrdiff_t>(onsets.size() / 2);
    std::ranges::nth_element(onsets, middle);
    knots.push_back({soundings[begin].beat, *middle});
    begin = end;
  }
  return knots;
}

using Run = std::vector<Step>;  // between two jumps

// Whether a run begins about where another has stopped.
bool goes_on(const Run& before, const Run& run, std::uint32_t reach) {
  const std::uint32_t stopped = before.back().moment;
  return stopped <= run.front().moment && run.front().moment <= stopped + reach;
}

// A short run between two that go on from each other is a likeness, where some notes were wrong; no
// player goes elsewhere for a bar and comes back in time.
std::vector<Run> without_excursions(std::vector<Run> runs) {
  constexpr std::size_t kShort = 16;
  constexpr std::uint32_t kGoesOn = 8;
  std::vector<Run> kept;
  for (Run& run : runs) {
    const std::size_t count = kept.size();
    if (count >= 2 && kept[count - 1].size() <= kShort && goes_on(kept[count - 2], run, kGoesOn)) {
      kept.pop_back();
      kept.back().insert(kept.back().end(), run.begin(), run.end());
    } else {
      kept.push_back(std::move(run));
    }
  }
  return kept;
}

// Runs without those that are too short; one that goes on where the one before was is one with it.
std::vector<Run> runs_of(std::span<const Step> steps) {
  constexpr std::uint32_t kNext = 2;
  std::vector<Run> runs;
  for (const Step& step : steps) {
    if (runs.empty() || step.jumped) runs.emplace_back();
    runs.back().push_back(step);
  }
  const std::size_t fewest = std::min(kFewestSteps, steps.size());
  if (std::ranges::any_of(runs, [&](const Run& run) { return run.size() >= fewest; })) {
    std::erase_if(runs, [&](const Run& run) { return run.size() < fewest; });
  }
  std::vector<Run> joined;
  for (Run& run : without_excursions(std::move(runs))) {
    if (!joined.empty() && goes_on(joined.back(), run, kNext)) {
      joined.back().insert(joined.back().end(), run.begin(), run.end());
    } else {
      joined.push_back(std::move(run));
    }
  }
  return joined;
}

std::vector<TimeMap::Knot> curve_of_run(const Moments& moments, std::span<const PlayedNote> played,
                                        std::span<const Step> run) {
  std::vector<Sounding> soundings;
  for (const Step& step : run) {
    soundings.push_back({moments.all[step.moment].beat, played[step.played].onset});
  }
  std::ranges::stable_sort(soundings, {}, &Sounding::beat);
  return curve_of(soundings);
}

void widen(const Moments& moments, std::span<const PlayedNote> played, PlayedPassage& passage) {
  const Seconds begin = played[passage.first_played].onset - kNear;
  const Seconds end = played[passage.end_played - 1].onset + kNear;
  for (std::uint32_t i = 0; i < kMostAdded && passage.first_moment > 0; ++i) {
    if (seconds_at(passage.curve, moments.all[passage.first_moment - 1].beat) < begin) break;
    --passage.first_moment;
  }
  for (std::uint32_t i = 0; i < kMostAdded && passage.last_moment + 1 < moments.all.size(); ++i) {
    if (seconds_at(passage.curve, moments.all[passage.last_moment + 1].beat) > end) break;
    ++passage.last_moment;
  }
}

}  // namespace

Seconds seconds_at(std::span<const TimeMap::Knot> curve, Beats beat) {
  assert(!curve.empty());
  constexpr std::size_t kApart = 4;  // knots that the tempo outside is measured over
  constexpr double kNoTempo = 0.5;   // seconds a quarter note, where there is one knot alone
  if (curve.size() == 1) return curve[0].second + Seconds{kNoTempo * (beat - curve[0].beat).value};
  const std::size_t apart = std::min(kApart, curve.size() - 1);
  if (beat < curve.front().beat) {
    return curve[0].second + Seconds{slope(curve[0], curve[apart]) * (beat - curve[0].beat).value};
  }
  if (beat > curve.back().beat) {
    const TimeMap::Knot& last = curve.back();
    return last.second +
           Seconds{slope(curve[curve.size() - 1 - apart], last) * (beat - last.beat).value};
  }
  const auto after = std::ranges::upper_bound(curve, beat, {}, &TimeMap::Knot::beat);
  const auto right = after == curve.end() ? after - 1 : after;
  return on_line(*(right - 1), *right, beat);
}

std::vector<TimeMap::Knot> curve_of(std::span<const Sounding> soundings) {
  const std::vector<TimeMap::Knot> all = medians(soundings);
  std::vector<TimeMap::Knot> curve;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (is_stray(all, i)) continue;
    if (!curve.empty() && all[i].second <= curve.back().second) continue;
    curve.push_back(all[i]);
  }
  return curve;
}

std::vector<PlayedPassage> passages_of(const Moments& moments, std::span<const PlayedNote> played,
                                       std::span<const Step> steps) {
  std::vector<PlayedPassage> passages;
  for (const std::vector<Step>& run : runs_of(steps)) {
    PlayedPassage passage;
    const auto [first, last] = std::ranges::minmax(run, {}, &Step::moment);
    passage.first_moment = first.moment;
    passage.last_moment = last.moment;
    passage.curve = curve_of_run(moments, played, run);
    passage.first_played = passages.empty() ? 0 : run.front().played;
    if (!passages.empty()) passages.back().end_played = passage.first_played;
    passages.push_back(std::move(passage));
  }
  if (!passages.empty()) passages.back().end_played = static_cast<std::uint32_t>(played.size());
  for (PlayedPassage& passage : passages) widen(moments, played, passage);
  return passages;
}

}  // namespace arsis
