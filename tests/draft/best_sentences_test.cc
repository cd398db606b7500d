// The search over all structures, against trying each of them.
#include "draft/best_sentences.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

std::string text_of(const std::vector<SentenceShape>& sentences) {
  std::string text;
  for (const SentenceShape& shape : sentences) {
    for (const std::uint8_t motifs : shape.each()) text += std::to_string(motifs);
    text += " ";
  }
  return text;
}

// Every way to fill the cells, with its worth.
void try_all(std::size_t cells, std::size_t begin, const SentenceWorth& worth, Tiling so_far,
             std::vector<Tiling>& all) {
  if (begin == cells) {
    all.push_back(std::move(so_far));
    return;
  }
  for (const SentenceShape& shape : sentence_shapes()) {
    const std::size_t end = begin + shape.cells;
    if (end > cells || (shape.ends_alone() && end != cells)) continue;
    Tiling next = so_far;
    next.total += worth.alone(begin, shape);
    if (begin > 0) next.total += worth.after(begin, so_far.sentences.back(), shape);
    next.sentences.push_back(shape);
    try_all(cells, end, worth, std::move(next), all);
  }
}

TEST(SentenceShapes, AreOneToThreePhrasesOfTwoOrThreeMotifs) {
  const auto shapes = sentence_shapes();
  EXPECT_EQ(shapes.size(), 21u);
  for (std::size_t i = 0; i < shapes.size(); ++i) {
    EXPECT_EQ(shapes[i].ends_alone(), i >= kUsualShapes);
    EXPECT_LE(shapes[i].cells, SentenceShape::kMostCells);
  }
}

TEST(BestSentences, AreThoseThatTryingEachFinds) {
  EXPECT_TRUE(test::holds(300, [] {
    const auto cells = static_cast<std::size_t>(*rc::gen::inRange(1, 14));
    const auto count = static_cast<std::size_t>(*rc::gen::inRange(1, 6));
    const auto seed = static_cast<unsigned>(*rc::gen::inRange(0, 1 << 30));
    const auto random = [seed](std::size_t a, std::size_t b, std::size_t c) {
      const std::size_t mixed = (seed + a * 7919 + b * 104'729 + c * 1'299'709) * 2'654'435'761U;
      return static_cast<double>(mixed >> 8 & 0xFFFF) / 65'536.0 - 0.5;
    };
    const auto key = [](const SentenceShape& shape) {
      return std::size_t{shape.motifs[0]} * 16 + shape.motifs[1] * 4U + shape.motifs[2];
    };
    SentenceWorth worth;
    worth.alone = [&](std::size_t first, const SentenceShape& shape) {
      return random(first, key(shape), 0);
    };
    worth.after = [&](std::size_t first, const SentenceShape& before, const SentenceShape& shape) {
      return random(first, key(before), key(shape));
    };
    std::vector<Tiling> all;
    try_all(cells, 0, worth, {}, all);
    std::ranges::sort(all, std::greater<>{}, &Tiling::total);
    const std::vector<Tiling> best = best_sentences(cells, worth, count);
    RC_ASSERT(best.size() == std::min(count, all.size()));
    for (std::size_t i = 0; i < best.size(); ++i) {
      RC_ASSERT(std::abs(best[i].total - all[i].total) < 1e-9);
      RC_ASSERT(text_of(best[i].sentences) == text_of(all[i].sentences));
    }
  }));
}

TEST(BestSentences, FillAnyNumberOfCells) {
  SentenceWorth worth;
  worth.alone = [](std::size_t, const SentenceShape& shape) { return shape.ends_alone() ? -9 : 0; };
  worth.after = [](std::size_t, const SentenceShape&, const SentenceShape&) { return 0.0; };
  EXPECT_TRUE(best_sentences(0, worth, 3).empty());
  EXPECT_TRUE(best_sentences(5, worth, 0).empty());
  EXPECT_EQ(text_of(best_sentences(1, worth, 3).front().sentences), "1 ");
  for (std::size_t cells = 2; cells < 60; ++cells) {
    const std::vector<Tiling> best = best_sentences(cells, worth, 1);
    ASSERT_EQ(best.size(), 1u);
    EXPECT_EQ(best[0].total, 0.0) << cells;
    std::size_t filled = 0;
    for (const SentenceShape& shape : best[0].sentences) filled += shape.cells;
    EXPECT_EQ(filled, cells);
  }
}

}  // namespace
}  // namespace arsis
