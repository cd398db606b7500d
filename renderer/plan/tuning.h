// Every number of the model, in one table: what the plan reader accepts, what the help prints, what
// the tests sweep. A plan's `shape:` overrides any of them, for the piece or inside one block.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "base/units.h"

namespace arsis {

// The nested levels of a plan, from within.
enum class Level : std::uint8_t { kMotif, kPhrase, kSentence, kPiece };
inline constexpr std::size_t kLevels = 4;
inline constexpr std::array<Level, kLevels> kEveryLevel = {Level::kMotif, Level::kPhrase,
                                                           Level::kSentence, Level::kPiece};
constexpr std::size_t index_of(Level level) { return static_cast<std::size_t>(level); }
std::string_view name_of(Level level);  // "motif", "phrase", "sentence", "piece"

// What a part is to the whole.
enum class Role : std::uint8_t { kMelody, kAccompaniment, kBass };
inline constexpr std::array<std::string_view, 3> kRoleNames = {"melody", "accompaniment", "bass"};

// How a rise inside a written diminuendo is conveyed: by time, or, for a first try, by loudness.
enum class Diminuendo : std::uint8_t { kBroaden, kSwell };
inline constexpr std::array<std::string_view, 2> kDiminuendoNames = {"broaden", "swell"};

// What lasts as long as in the score.
enum class Keep : std::uint8_t { kBar, kPhrase, kSentence, kOff };
inline constexpr std::array<std::string_view, 4> kKeepNames = {"bar", "phrase", "sentence", "off"};

// The constants, in the order of the table. Those of the levels come first, level by level, in the
// order depth, slowing, linger, width, breath.
enum class Constant : std::uint8_t {
  kMotifDepth,
  kPhraseDepth = 5,
  kSentenceDepth = 10,
  kPieceDepth = 15,
  kFloor = 20,
  kBroadening,
  kClosingLength,
  kClosingTempo,
  kClosingCurve,
  kForte,
  kSofter,
  kLouder,
  kMelodyBalance,
  kAccompanimentBalance,
  kBassBalance,
  kVoicing,
  kLead,
  kLongestLead,
  kArpeggio,
  kLongestArpeggio,
  kOverlap,
  kLongestOverlap,
  kSlack,
  kRepeat,
  kLongestGap,
  kStaccato,
  kStaccatissimo,
  kPortato,
  kMarcatoLength,
  kFermata,
  kBreathMark,
  kBreathShare,
  kAccent,
  kMarcato,
  kSforzato,
  kUnevenTiming,
  kUnevenLevel,
};
inline constexpr std::size_t kConstants = static_cast<std::size_t>(Constant::kUnevenLevel) + 1;

struct ConstantInfo {
  std::string_view group;  // the map under `shape:` that holds it; empty for `shape:` itself
  std::string_view name;   // its key there
  std::string_view unit;   // "dB", "%", "ms", "beat", "bar", "%/dB", or "" for a ratio
  double initial = 0.0;    // all three in that unit
  double least = 0.0;
  double most = 0.0;
  std::string_view meaning;
  std::string_view source;  // paper and place, or "our choice"
};

std::span<const ConstantInfo, kConstants> constant_table();

// The numbers in force at one place of a plan.
class Tuning {
 public:
  Tuning();  // the table's initial values

  // In the unit of the table.
  double raw(Constant constant) const { return values_[static_cast<std::size_t>(constant)]; }
  void set(Constant constant, double value) { values_[static_cast<std::size_t>(constant)] = value; }

  Decibels decibels(Constant constant) const { return {raw(constant)}; }
  Seconds milliseconds(Constant constant) const { return {raw(constant) / 1e3}; }
  // Percent as a ratio: 4 % -> 0.04.
  double share(Constant constant) const { return raw(constant) / 100.0; }

  Decibels depth(Level level) const { return {of(level, 0)}; }
  double slowing(Level level) const { return of(level, 1) / 100.0; }  // ratio of duration
  double linger(Level level) const { return of(level, 2) / 100.0; }   // ratio of duration
  double width(Level level) const { return of(level, 3); }            // beats of the signature
  Seconds breath(Level level) const { return {of(level, 4) / 1e3}; }
  double broadening_per_decibel() const { return raw(Constant::kBroadening) / 100.0; }
  Decibels balance(Role role) const {
    return {raw(static_cast<Constant>(static_cast<int>(Constant::kMelodyBalance) +
                                      static_cast<int>(role)))};
  }

  Diminuendo diminuendo = Diminuendo::kBroaden;
  Keep keep = Keep::kSentence;

 private:
  double of(Level level, std::size_t which) const { return values_[index_of(level) * 5 + which]; }
  std::array<double, kConstants> values_{};
};

// The level of a written dynamic: pppp is -5, p -2, mp -1, mf 0 ... as steps from mf; f is step 1.
// f is the tuning's forte, each step below it one `softer`, above it one `louder`; never over 0 dB.
Decibels level_of_dynamic(int step, const Tuning& tuning);
// "ppp" -> -4 .. "mf" -> 0, "f" -> 1 .. "fff" -> 3; none for other words.
std::optional<int> dynamic_step(std::string_view mark);
// Such steps by name, from the softest mark (pppp) to the loudest (ffff).
inline constexpr int kSoftestStep = -5;
inline constexpr int kPianoStep = -2;
inline constexpr int kForteStep = 1;
inline constexpr int kLoudestStep = 4;
std::span<const std::string_view> dynamic_names();  // softest first
std::string_view dynamic_name(int step);            // -5..4

}  // namespace arsis
