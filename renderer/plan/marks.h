// The words for what is printed over single notes, and what each asks for.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "plan/plan.h"

namespace arsis {

// "accent", "marcato", "tenuto", "staccato", "staccatissimo", "portato", "fermata", "sf", "sfz",
// "fz", "rf", "rfz", "fp", "breath", "arpeggio"; none for other words.
std::optional<Mark> mark_named(std::string_view word);
std::span<const std::string_view> mark_names();
std::string_view mark_name(Mark mark);  // of those that are the same the first

// How far the mark lifts its note over the ceiling; 0 dB for marks that are no accents. A
// forte-piano lifts its note to forte, which the ceiling knows, so that it is 0 dB here too.
Decibels lift_of(Mark mark, const Tuning& tuning);

// The share of the written length that sounds under the mark; none for marks that leave it alone.
std::optional<double> sounding_share(Mark mark, const Tuning& tuning);

// A set of marks, one bit each.
class MarkSet {
 public:
  constexpr void add(Mark mark) { bits_ = static_cast<std::uint16_t>(bits_ | bit(mark)); }
  constexpr void add(MarkSet marks) { bits_ = static_cast<std::uint16_t>(bits_ | marks.bits_); }
  constexpr void remove(Mark mark) { bits_ = static_cast<std::uint16_t>(bits_ & ~bit(mark)); }
  constexpr bool has(Mark mark) const { return (bits_ & bit(mark)) != 0; }
  constexpr bool empty() const { return bits_ == 0; }

 private:
  static constexpr std::uint16_t bit(Mark mark) {
    return static_cast<std::uint16_t>(1u << static_cast<unsigned>(mark));
  }
  std::uint16_t bits_ = 0;
};

inline constexpr std::array<Mark, 11> kEveryMark = {
    Mark::kAccent,        Mark::kMarcato, Mark::kTenuto,  Mark::kStaccato,
    Mark::kStaccatissimo, Mark::kPortato, Mark::kFermata, Mark::kSforzato,
    Mark::kFortePiano,    Mark::kBreath,  Mark::kArpeggio};

}  // namespace arsis
