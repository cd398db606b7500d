#include "tool/take_course.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>

#include "base/text.h"
#include "take/heard.h"
#include "take/median.h"
#include "take/passages.h"

namespace arsis {
namespace {

std::vector<HeardLevel> levels_of(const Heard& heard) {
  std::vector<HeardLevel> levels;
  for (const HeardNote& note : heard.melody) levels.push_back({note.at, note.level, true});
  for (const HeardNote& note : heard.others) levels.push_back({note.at, note.level, false});
  std::ranges::stable_sort(levels, {}, &HeardLevel::at);
  return levels;
}

// The counted beats of a stretch of the score.
std::vector<Span> beats_of(const Bars& bars, Span stretch) {
  std::vector<Span> beats;
  for (const Bar& bar : bars.all()) {
    if (bar.span.end <= stretch.begin || bar.span.begin >= stretch.end) continue;
    const Beats beat = counted_beat(bar.signature);
    Beats begin = bar.downbeat;
    while (begin + beat <= bar.span.begin + kSameMoment) begin += beat;
    for (; begin < bar.span.end - kSameMoment; begin += beat) {
      const Span span{std::max(begin, bar.span.begin), std::min(begin + beat, bar.span.end)};
      if (span.begin >= stretch.begin - kSameMoment && span.end <= stretch.end + kSameMoment) {
        beats.push_back(span);
      }
    }
  }
  return beats;
}

// When the moments of one stretch sounded; rises in both.
std::vector<TimeMap::Knot> knots_of(const Heard& heard, std::uint32_t stretch) {
  std::vector<TimeMap::Knot> knots;
  for (const HeardMoment& moment : heard.moments) {
    if (moment.stretch != stretch) continue;
    if (knots.empty() || moment.onset > knots.back().second) {
      knots.push_back({moment.at, moment.onset});
    }
  }
  return knots;
}

// Of each beat that was played, as a ratio to the written tempo; as it was played last.
std::vector<TempoStretch> tempo_of(const Score& score, const Heard& heard, std::size_t stretches) {
  std::map<double, TempoStretch> by_beat;
  for (std::uint32_t stretch = 0; stretch < stretches; ++stretch) {
    const std::vector<TimeMap::Knot> knots = knots_of(heard, stretch);
    if (knots.size() < 2) continue;
    for (const Span& beat : beats_of(score.bars, {knots.front().beat, knots.back().beat})) {
      const Seconds written = score.tempo.seconds_at(beat.end) - score.tempo.seconds_at(beat.begin);
      const Seconds played = seconds_at(knots, beat.end) - seconds_at(knots, beat.begin);
      if (!(played.value > 0.0) || !(written.value > 0.0)) continue;
      by_beat[beat.begin.value] = {beat, written / played};
    }
  }
  std::vector<TempoStretch> tempo;
  for (const auto& [begin, stretch] : by_beat) tempo.push_back(stretch);
  return tempo;
}

}  // namespace

Course course_of_take(const Loaded& loaded, const AlignedTake& take) {
  Course course;
  const Heard heard = hear(loaded.score, loaded.bound, take.file.take, take.alignment, {});
  course.levels = levels_of(heard);
  course.tempo = tempo_of(loaded.score, heard, take.alignment.stretches.size());
  std::vector<double> ratios;
  for (const TempoStretch& stretch : course.tempo) ratios.push_back(stretch.ratio);
  const double middle = ratios.empty() ? 1.0 : median_of(std::move(ratios));
  for (TempoStretch& stretch : course.tempo) stretch.ratio /= middle;
  course.name = fmt::format("{} ({:.0f} % of the tempo)",
                            printable(take.file.path.filename().string()), middle * 100.0);
  return course;
}

}  // namespace arsis
