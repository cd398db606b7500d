#include "draft/best_sentences.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>

namespace arsis {
namespace {

constexpr std::uint8_t kBeginning = 0xFF;  // no sentence before
constexpr std::size_t kRing = SentenceShape::kMostCells + 1;

// How a tiling got to where it is: the shape of the sentence before its last one, and which of the
// best ways to that.
struct Step {
  std::uint8_t shape = kBeginning;
  std::uint8_t rank = 0;
};

struct Way {
  double total = 0.0;
  Step step;
};

// The best ways that end at a cell with a sentence of each shape. Totals are only kept as far back
// as a sentence reaches; steps are kept for all cells.
class Search {
 public:
  Search(std::size_t cells, const SentenceWorth& worth, std::size_t count)
      : cells_(cells), count_(count), worth_(worth), shapes_(sentence_shapes()) {
    totals_.resize(kRing * shapes_.size() * count_);
    steps_.resize((cells_ + 1) * kUsualShapes * count_);
    last_steps_.resize(shapes_.size() * count_);
  }

  std::vector<Tiling> run() {
    for (std::size_t end = 1; end <= cells_; ++end) {
      const std::size_t allowed = end == cells_ ? shapes_.size() : kUsualShapes;
      for (std::size_t shape = 0; shape < shapes_.size(); ++shape) {
        for (std::size_t rank = 0; rank < count_; ++rank) total(end, shape, rank) = kNone;
        if (shape < allowed && shapes_[shape].cells <= end) close(end, shape);
      }
    }
    return tilings();
  }

 private:
  static constexpr double kNone = -std::numeric_limits<double>::infinity();

  double& total(std::size_t end, std::size_t shape, std::size_t rank) {
    return totals_[((end % kRing) * shapes_.size() + shape) * count_ + rank];
  }
  Step& step(std::size_t end, std::size_t shape, std::size_t rank) {
    if (end == cells_) return last_steps_[shape * count_ + rank];
    return steps_[(end * kUsualShapes + shape) * count_ + rank];
  }

  // The best ways to end a sentence of that shape there.
  void close(std::size_t end, std::size_t shape) {
    const std::size_t begin = end - shapes_[shape].cells;
    const double alone = worth_.alone(begin, shapes_[shape]);
    ways_.clear();
    if (begin == 0) ways_.push_back({alone, {}});
    for (std::size_t before = 0; begin > 0 && before < kUsualShapes; ++before) {
      if (total(begin, before, 0) == kNone) continue;
      const double more = alone + worth_.after(begin, shapes_[before], shapes_[shape]);
      for (std::size_t rank = 0; rank < count_ && total(begin, before, rank) != kNone; ++rank) {
        ways_.push_back({total(begin, before, rank) + more,
                         {static_cast<std::uint8_t>(before), static_cast<std::uint8_t>(rank)}});
      }
    }
    std::ranges::stable_sort(ways_, std::greater<>{}, &Way::total);
    for (std::size_t rank = 0; rank < std::min(count_, ways_.size()); ++rank) {
      total(end, shape, rank) = ways_[rank].total;
      step(end, shape, rank) = ways_[rank].step;
    }
  }

  std::vector<Tiling> tilings() {
    std::vector<Way> ends;
    for (std::size_t shape = 0; cells_ > 0 && shape < shapes_.size(); ++shape) {
      for (std::size_t rank = 0; rank < count_ && total(cells_, shape, rank) != kNone; ++rank) {
        ends.push_back({total(cells_, shape, rank),
                        {static_cast<std::uint8_t>(shape), static_cast<std::uint8_t>(rank)}});
      }
    }
    std::ranges::stable_sort(ends, std::greater<>{}, &Way::total);
    std::vector<Tiling> tilings;
    for (std::size_t i = 0; i < std::min(count_, ends.size()); ++i) {
      tilings.push_back({ends[i].total, sentences_to(ends[i].step)});
    }
    return tilings;
  }

  std::vector<SentenceShape> sentences_to(Step last) {
    std::vector<SentenceShape> sentences;
    std::size_t end = cells_;
    for (Step at = last; at.shape != kBeginning;) {
      const SentenceShape& shape = shapes_[at.shape];
      sentences.push_back(shape);
      at = step(end, at.shape, at.rank);
      end -= shape.cells;
    }
    std::ranges::reverse(sentences);
    return sentences;
  }

  std::size_t cells_;
  std::size_t count_;
  const SentenceWorth& worth_;
  std::span<const SentenceShape> shapes_;
  std::vector<double> totals_;
  std::vector<Step> steps_;
  std::vector<Step> last_steps_;
  std::vector<Way> ways_;
};

}  // namespace

std::vector<Tiling> best_sentences(std::size_t cells, const SentenceWorth& worth,
                                   std::size_t count) {
  constexpr std::size_t kMost = 200;  // ranks are kept in a byte
  if (cells == 0 || count == 0) return {};
  return Search(cells, worth, std::min(count, kMost)).run();
}

}  // namespace arsis
