#include "draft/sentence_shape.h"

#include <algorithm>
#include <vector>

namespace arsis {
namespace {

void add_shapes(SentenceShape begun, std::vector<SentenceShape>& usual,
                std::vector<SentenceShape>& last) {
  if (begun.phrases == SentenceShape::kMostPhrases) return;
  for (const std::uint8_t motifs : std::array<std::uint8_t, 3>{2, 3, 1}) {
    SentenceShape shape = begun;
    shape.motifs[shape.phrases++] = motifs;
    shape.cells = static_cast<std::uint8_t>(shape.cells + motifs);
    (motifs == 1 ? last : usual).push_back(shape);
    if (motifs != 1) add_shapes(shape, usual, last);
  }
}

}  // namespace

std::span<const SentenceShape> sentence_shapes() {
  static const std::vector<SentenceShape> kAll = [] {
    std::vector<SentenceShape> usual;
    std::vector<SentenceShape> last;
    add_shapes({}, usual, last);
    usual.insert(usual.end(), last.begin(), last.end());
    return usual;
  }();
  return kAll;
}

}  // namespace arsis
