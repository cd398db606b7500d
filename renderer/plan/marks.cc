#include "plan/marks.h"

#include <algorithm>

namespace arsis {
namespace {

constexpr std::array<std::string_view, 15> kNames = {
    "accent", "marcato", "tenuto", "staccato", "staccatissimo", "portato", "fermata", "sf", "sfz",
    "fz",     "rf",      "rfz",    "fp",       "breath",        "arpeggio"};
constexpr std::array<Mark, 15> kMarks = {
    Mark::kAccent,   Mark::kMarcato,  Mark::kTenuto,     Mark::kStaccato, Mark::kStaccatissimo,
    Mark::kPortato,  Mark::kFermata,  Mark::kSforzato,   Mark::kSforzato, Mark::kSforzato,
    Mark::kSforzato, Mark::kSforzato, Mark::kFortePiano, Mark::kBreath,   Mark::kArpeggio};

}  // namespace

std::optional<Mark> mark_named(std::string_view word) {
  const auto found = std::ranges::find(kNames, word);
  if (found == kNames.end()) return std::nullopt;
  return kMarks[static_cast<std::size_t>(found - kNames.begin())];
}

std::span<const std::string_view> mark_names() { return kNames; }

std::string_view mark_name(Mark mark) {
  return kNames[static_cast<std::size_t>(std::ranges::find(kMarks, mark) - kMarks.begin())];
}

Decibels lift_of(Mark mark, const Tuning& tuning) {
  if (mark == Mark::kAccent) return tuning.decibels(Constant::kAccent);
  if (mark == Mark::kMarcato) return tuning.decibels(Constant::kMarcato);
  if (mark == Mark::kSforzato) return tuning.decibels(Constant::kSforzato);
  return {0.0};
}

std::optional<double> sounding_share(Mark mark, const Tuning& tuning) {
  if (mark == Mark::kStaccato) return tuning.share(Constant::kStaccato);
  if (mark == Mark::kStaccatissimo) return tuning.share(Constant::kStaccatissimo);
  if (mark == Mark::kPortato) return tuning.share(Constant::kPortato);
  if (mark == Mark::kMarcato) return tuning.share(Constant::kMarcatoLength);
  return std::nullopt;
}

}  // namespace arsis
