// What the words over and under a staff ask for: dynamics, growing and fading, tempo, jumps.
// Italian as it is usually written, whole or cut short.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace arsis {

enum class WordKind : std::uint8_t {
  kDynamic,  // number: steps from mf
  kSforzato,
  kFortePiano,
  kCrescendo,
  kDiminuendo,
  kGradual,  // tempo; number: the ratio that it comes to
  kAtOnce,   // likewise, from here on
  kBack,     // a tempo
  kFirst,    // tempo primo
  kTempo,    // number: beats a minute
  kDaCapo,
  kDalSegno,
  kFine,
  kToCoda,
};

struct WordMeaning {
  WordKind kind = WordKind::kDynamic;
  double number = 0.0;  // a step, a ratio or beats a minute, by its kind
};

// All that a text says, in its order; empty where it says nothing of these. Capital letters, points
// and accents do not matter; what follows "senza" or "non" is not asked for.
// Source of the words: common practice, no source; so are the beats a minute of tempo words, which
// count only where nothing better is given. The ratios of slowing and hastening are our choice.
std::vector<WordMeaning> meanings_of(std::string_view text);

// What the name of an element within `dynamics` asks for ("p", "sfz", "fp", "sfp", ...), in order;
// empty for unknown ones. MusicXML 4.0, group `dynamics`.
std::vector<WordMeaning> meanings_of_dynamic(std::string_view name);

}  // namespace arsis
