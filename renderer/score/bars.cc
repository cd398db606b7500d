#include "score/bars.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numeric>
#include <string_view>
#include <utility>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kRoundingError = 1e-9;  // quarter notes; far below one tick of any MIDI file
constexpr int kFinestBeatUnit = 64;

// The signature in force from each change on, the first at beat 0.
std::vector<TimeSignatureChange> from_the_start(std::span<const TimeSignatureChange> changes) {
  std::vector<TimeSignatureChange> all = {{.at = {0.0}, .signature = {}}};
  for (const TimeSignatureChange& change : changes) {
    assert(all.back().at <= change.at);
    if (change.at == all.back().at) {
      all.back() = change;
    } else {
      all.push_back(change);
    }
  }
  return all;
}

// Length of the pickup that the signatures themselves tell of, if any.
std::optional<Beats> pickup_of(std::span<const TimeSignatureChange> changes) {
  if (changes.size() < 2) return std::nullopt;
  const Beats first = changes[0].signature.bar_length();
  const bool one_bar = std::abs((changes[1].at - first).value) < kRoundingError;
  if (one_bar && first < changes[1].signature.bar_length()) return first;
  return std::nullopt;
}

}  // namespace

Beats counted_beat(TimeSignature signature) {
  const bool compound = signature.beat_unit >= 8 && signature.beats > 3 && signature.beats % 3 == 0;
  return signature.beat_length() * (compound ? 3.0 : 1.0);
}

std::optional<TimeSignature> signature_of_length(Beats length, TimeSignature like) {
  for (int unit = like.beat_unit; unit <= kFinestBeatUnit; unit *= 2) {
    const double beats = length.value * unit / 4.0;
    if (beats > 255.0) return std::nullopt;
    if (beats > 0.5 && std::abs(beats - std::round(beats)) < 1e-6) {
      return TimeSignature{static_cast<int>(std::round(beats)), unit};
    }
  }
  return std::nullopt;
}

std::array<std::uint8_t, 6> signature_message(TimeSignature signature) {
  int power = 0;
  while ((1 << power) < signature.beat_unit) ++power;
  const auto clocks = static_cast<std::uint8_t>(std::max(96 / signature.beat_unit, 1));
  return {
      0xFF,   0x58, static_cast<std::uint8_t>(signature.beats), static_cast<std::uint8_t>(power),
      clocks, 8};
}

Bars Bars::of(std::span<const TimeSignatureChange> changes, Beats end,
              std::optional<Beats> pickup) {
  const std::vector<TimeSignatureChange> all = from_the_start(changes);
  Bars result;
  Beats begin{0.0};
  int number = 1;
  if (!pickup) pickup = pickup_of(all);
  if (pickup && pickup->value > kRoundingError) {
    const bool written = all.size() > 1 && all[1].at <= *pickup + Beats{kRoundingError};
    const TimeSignature signature = written ? all[1].signature : all[0].signature;
    result.bars_.push_back({.number = 0,
                            .span = {begin, *pickup},
                            .downbeat = *pickup - signature.bar_length(),
                            .signature = signature});
    begin = *pickup;
  }
  std::size_t change = 0;
  while ((begin < end || result.bars_.empty()) && result.bars_.size() < kMostBars) {
    while (change + 1 < all.size() && all[change + 1].at <= begin + Beats{kRoundingError}) ++change;
    const TimeSignature signature = all[change].signature;
    Beats bar_end = begin + signature.bar_length();
    if (change + 1 < all.size() && all[change + 1].at < bar_end) bar_end = all[change + 1].at;
    result.bars_.push_back(
        {.number = number++, .span = {begin, bar_end}, .downbeat = begin, .signature = signature});
    begin = bar_end;
  }
  return result;
}

Bars Bars::from(std::vector<Bar> bars) {
  assert(!bars.empty());
  Bars result;
  result.bars_ = std::move(bars);
  result.by_number_.resize(result.bars_.size());
  std::iota(result.by_number_.begin(), result.by_number_.end(), 0U);
  std::ranges::stable_sort(result.by_number_, {}, [&](std::uint32_t i) {
    return std::pair(result.bars_[i].number, result.bars_[i].pass);
  });
  return result;
}

const Bar* Bars::find(int number, int pass) const {
  if (by_number_.empty()) {
    const int index = number - bars_.front().number;
    if (index < 0 || index >= static_cast<int>(bars_.size()) || pass != 1) return nullptr;
    return &bars_[static_cast<std::size_t>(index)];
  }
  const auto found = std::ranges::lower_bound(
      by_number_, std::pair(number, pass), {},
      [&](std::uint32_t i) { return std::pair(bars_[i].number, bars_[i].pass); });
  if (found == by_number_.end()) return nullptr;
  const Bar& bar = bars_[*found];
  return bar.number == number && bar.pass == pass ? &bar : nullptr;
}

const Bar& Bars::at(Beats moment) const {
  const auto after =
      std::ranges::upper_bound(bars_, moment, {}, [](const Bar& bar) { return bar.span.begin; });
  return after == bars_.begin() ? bars_.front() : *std::prev(after);
}

Position Bars::position_of(Beats moment) const {
  const Bar& bar = at(moment);
  return {.bar = bar.number,
          .beat = 1.0 + (moment - bar.downbeat) / bar.signature.beat_length(),
          .pass = bar.pass};
}

std::optional<Beats> Bars::moment_of(Position position) const {
  const Bar* bar = find(position.bar, position.pass);
  if (bar == nullptr || !std::isfinite(position.beat)) return std::nullopt;
  const Beats moment = bar->downbeat + bar->signature.beat_length() * (position.beat - 1.0);
  if (moment < bar->span.begin - Beats{kRoundingError}) return std::nullopt;
  return std::max(moment, bar->span.begin);
}

namespace {

// Without its pass.
std::string place_text(Position position) {
  constexpr double kNear = 1e-6;
  const double whole = std::floor(position.beat + kNear);
  const double rest = position.beat - whole;
  if (std::abs(rest) < kNear) return fmt::format("{}:{}", position.bar, whole);
  const double sixteenths = rest * 16.0;
  const bool decimal = std::abs(sixteenths - std::round(sixteenths)) < kNear;
  for (const int below : {3, 5, 6, 7, 12}) {
    if (decimal) break;
    const double above = rest * below;
    if (std::abs(above - std::round(above)) < kNear * below) {
      return fmt::format("{}:{}+{}/{}", position.bar, whole, std::round(above), below);
    }
  }
  return fmt::format("{}:{}", position.bar, short_number(position.beat, 4));
}

// "2nd", "3rd", "11th".
std::string ordinal(int number) {
  const int last_two = number % 100;
  const bool teen = last_two >= 11 && last_two <= 13;
  constexpr std::array<std::string_view, 4> kEndings = {"th", "st", "nd", "rd"};
  const int last = number % 10;
  return fmt::format("{}{}", number,
                     teen || last > 3 ? "th" : kEndings[static_cast<std::size_t>(last)]);
}

}  // namespace

std::string to_string(Position position) {
  const std::string text = place_text(position);
  return position.pass > 1 ? text + "/" + ordinal(position.pass) : text;
}

std::string bars_text(int first, int last) {
  return first == last ? fmt::format("bar {}", first) : fmt::format("bars {} to {}", first, last);
}

std::string bars_text(const Bars& bars, Span span) {
  return bars_text(bars.at(span.begin).number,
                   bars.at(std::max(span.begin, span.end - kSameMoment)).number);
}

}  // namespace arsis
