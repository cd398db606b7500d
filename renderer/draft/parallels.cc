#include "draft/parallels.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace arsis {
namespace {

// Enough of a cell to tell it from others; bounds the work where a bar holds thousands of notes.
constexpr std::ptrdiff_t kMostCompared = 64;

std::span<const MelodyNote> notes_in(std::span<const MelodyNote> line, Span span) {
  const auto begin =
      std::ranges::lower_bound(line, span.begin - kSameMoment, {}, &MelodyNote::onset);
  const auto end = std::ranges::lower_bound(line, span.end - kSameMoment, {}, &MelodyNote::onset);
  return {begin, std::min(end, begin + std::min(kMostCompared, line.end() - begin))};
}

double step_likeness(int one, int other) {
  if (std::abs(one - other) <= 1) return 1.0;
  return (one > 0) == (other > 0) && (one < 0) == (other < 0) ? 0.5 : 0.0;
}

// What the notes that begin at the same places add up to.
struct Shared {
  int notes = 0;
  int same_pitch = 0;
  double steps = 0.0;  // likeness of the steps between them, summed
};

Shared shared_notes(std::span<const MelodyNote> one, Beats one_begin,
                    std::span<const MelodyNote> other, Beats other_begin) {
  Shared shared;
  std::size_t last_i = 0;
  std::size_t last_j = 0;
  for (std::size_t i = 0, j = 0; i < one.size() && j < other.size();) {
    const Beats apart = (one[i].onset - one_begin) - (other[j].onset - other_begin);
    if (apart < -kSameMoment) {
      ++i;
    } else if (apart > kSameMoment) {
      ++j;
    } else {
      if (shared.notes > 0) {
        shared.steps +=
            step_likeness(one[i].key - one[last_i].key, other[j].key - other[last_j].key);
      }
      shared.same_pitch += one[i].key == other[j].key ? 1 : 0;
      ++shared.notes;
      last_i = i++;
      last_j = j++;
    }
  }
  return shared;
}

}  // namespace

Resemblance resemblance(std::span<const MelodyNote> line, Span one, Span other) {
  const auto notes = notes_in(line, one);
  const auto other_notes = notes_in(line, other);
  if (notes.empty() && other_notes.empty()) return {1.0, 1.0, 1.0};
  const Shared shared = shared_notes(notes, one.begin, other_notes, other.begin);
  if (shared.notes == 0) return {};
  Resemblance result;
  result.rhythm = 2.0 * shared.notes / static_cast<double>(notes.size() + other_notes.size());
  result.contour = shared.notes > 1 ? shared.steps / (shared.notes - 1) : 0.5;
  result.pitch = static_cast<double>(shared.same_pitch) / shared.notes;
  return result;
}

Parallels::Parallels(std::span<const MelodyNote> line, std::span<const Beats> edges)
    : cells_(edges.empty() ? 0 : edges.size() - 1) {
  const auto cell = [&](std::size_t i) { return Span{edges[i], edges[i + 1]}; };
  alike_.resize(cells_ * kMostLag);
  opening_.resize(cells_ * 2);
  double sum = 0.0;
  double count = 0.0;
  for (std::size_t i = 0; i < cells_; ++i) {
    for (std::size_t lag = 1; lag <= std::min(i, kMostLag); ++lag) {
      alike_[i * kMostLag + lag - 1] = resemblance(line, cell(i), cell(i - lag)).total();
      sum += at(i, lag);
      count += 1.0;
    }
    for (std::size_t k = 0; k < std::min<std::size_t>(2, cells_); ++k) {
      opening_[2 * i + k] = resemblance(line, cell(i), cell(k)).total();
    }
  }
  if (count > 0.0) mean_ = sum / count;
}

double Parallels::block(std::size_t first, std::size_t count, std::size_t lag) const {
  assert(count >= 1 && count <= kMostLag && lag >= 1 && lag <= kMostLag);
  if (first < lag) return 0.0;
  constexpr double kLater = 0.7;  // each cell's weight to that of the one before it
  double sum = 0.0;
  double weights = 0.0;
  double weight = 1.0;
  for (std::size_t i = first; i < std::min(first + count, cells_); ++i, weight *= kLater) {
    sum += weight * at(i, lag);
    weights += weight;
  }
  return weights > 0.0 ? sum / weights - mean_ : 0.0;
}

double Parallels::opening(std::size_t first) const {
  if (first == 0 || first >= cells_) return 0.0;
  const double now = opening_[2 * first];
  if (first + 1 >= cells_) return now - mean_;
  return 0.6 * now + 0.4 * opening_[2 * (first + 1) + 1] - mean_;
}

}  // namespace arsis
