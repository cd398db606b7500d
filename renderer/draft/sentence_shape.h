// The shapes that a sentence may have: how many phrases of how many motifs.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace arsis {

struct SentenceShape {
  static constexpr std::size_t kMostPhrases = 3;
  static constexpr std::size_t kMostCells = 9;

  std::array<std::uint8_t, kMostPhrases> motifs{};  // of each phrase
  std::uint8_t phrases = 0;
  std::uint8_t cells = 0;  // of all phrases

  std::span<const std::uint8_t> each() const { return std::span(motifs).first(phrases); }
  bool ends_alone() const { return motifs[phrases - 1u] == 1; }
  friend bool operator==(const SentenceShape&, const SentenceShape&) = default;
};

// One to three phrases of two or three motifs, and, behind these, the same with a last phrase of a
// single motif: such a sentence may only end the piece.
std::span<const SentenceShape> sentence_shapes();
// How many of them may stand anywhere.
inline constexpr std::size_t kUsualShapes = 14;

}  // namespace arsis
