#include "draft/grouper.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace arsis::test {

double length_penalty(int notes, double preferred) {
  return 600.0 * std::abs(std::log2(notes / preferred));
}

double phase_penalty(double shift) {
  constexpr double kNear = 1e-6;
  const double phase = shift - std::floor(shift);
  if (phase < kNear || phase > 1.0 - kNear) return 0.0;
  return std::abs(phase - 0.5) < kNear ? 150.0 : 300.0;
}

namespace {

constexpr std::size_t kMostNotes = 19;

double gap_before(std::span<const MelodyNote> line, std::size_t note) {
  if (note == 0 || note == line.size()) return 0.0;
  return gap_score(interval_after(line, note - 1), rest_after(line, note - 1), mean_interval(line));
}

double phrase_score(std::span<const MelodyNote> line, std::size_t begin, std::size_t end,
                    double phase) {
  const auto notes = static_cast<int>(end - begin);
  const double gaps = 0.5 * gap_before(line, begin) + 0.5 * gap_before(line, end);
  return (gaps - length_penalty(notes) - phase) * std::sqrt(notes);
}

// The best way to end a phrase at a note, by how many notes it has.
struct Way {
  double score = -std::numeric_limits<double>::infinity();
  std::size_t notes_before = 0;  // of the phrase before; 0: there is none
};

}  // namespace

std::vector<std::size_t> grouper_phrases(std::span<const MelodyNote> line, Beats period) {
  std::vector<std::vector<Way>> ways(line.size() + 1, std::vector<Way>(kMostNotes + 1));
  for (std::size_t end = 1; end <= line.size(); ++end) {
    for (std::size_t notes = 1; notes <= std::min(end, kMostNotes); ++notes) {
      const std::size_t begin = end - notes;
      Way& way = ways[end][notes];
      if (begin == 0) way.score = phrase_score(line, begin, end, 0.0);
      for (std::size_t before = 1; before <= std::min(begin, kMostNotes); ++before) {
        const double shift = (line[begin].onset - line[begin - before].onset) / period;
        const double score =
            ways[begin][before].score + phrase_score(line, begin, end, phase_penalty(shift));
        if (score > way.score) way = {score, before};
      }
    }
  }
  std::vector<std::size_t> starts;
  const auto best = std::ranges::max_element(ways.back(), {}, &Way::score);
  auto notes = static_cast<std::size_t>(best - ways.back().begin());
  for (std::size_t end = line.size(); notes > 0;) {
    starts.push_back(end - notes);
    const std::size_t before = ways[end][notes].notes_before;
    end -= notes;
    notes = before;
  }
  std::ranges::reverse(starts);
  return starts;
}

}  // namespace arsis::test
