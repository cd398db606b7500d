#include "sound/phases.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>
#include <optional>

#include "sound/synthesizer.h"

namespace arsis {
namespace {

constexpr std::size_t kKeys = 128;

// Keys of which only one sounds at a time.
// Source: General MIDI 2, percussion sound set, exclusive classes: scratch, hi-hat, whistle, guiro,
// cuica, triangle, surdo.
constexpr std::array<std::array<std::uint8_t, 3>, 7> kExclusive = {
    {{29, 30}, {42, 44, 46}, {71, 72}, {73, 74}, {78, 79}, {80, 81}, {86, 87}}};

// Controllers under which one note of a channel depends on another, where their value is as high.
// Source: MIDI 1.0: portamento switch, legato switch, portamento from a note, one note at a time.
struct Joiner {
  std::uint8_t controller;
  std::uint8_t least;
};
constexpr std::array<Joiner, 4> kJoiners = {{{65, 64}, {68, 64}, {84, 0}, {126, 0}}};

using Keys = std::array<std::optional<std::uint8_t>, kKeys>;

bool joins_its_channel(const TimedMessage& message) {
  if (message.size != 3 || (message.bytes[0] & 0xF0) != 0xB0) return false;
  return std::ranges::any_of(kJoiners, [&](const Joiner& joiner) {
    return message.bytes[1] == joiner.controller && message.bytes[2] >= joiner.least;
  });
}

// Where a note has to go, if it is not free.
std::array<Keys, kChannels> bound_notes(std::span<const TimedMessage> messages,
                                        std::size_t synthesizers) {
  std::array<Keys, kChannels> bound{};
  for (std::size_t group = 0; group < kExclusive.size(); ++group) {
    for (const std::uint8_t key : kExclusive[group]) {
      if (key != 0) bound[kDrumChannel][key] = static_cast<std::uint8_t>(group % synthesizers);
    }
  }
  for (const TimedMessage& message : messages) {
    if (!joins_its_channel(message)) continue;
    const std::size_t channel = message.bytes[0] & 0x0Fu;
    bound[channel].fill(static_cast<std::uint8_t>(channel % synthesizers));
  }
  return bound;
}

// FluidSynth raises a note from nothing: the first frame of its first block is silent, and it is
// heard from the second.
constexpr double kSilentFrames = 1.0;

double wanted_begin(Seconds at, int sample_rate, int lead) {
  return at.value * sample_rate + lead - kSilentFrames;
}

// How far from the moment the nearest block of a synthesizer begins, in sixteenths of a frame:
// rounded, so that a digit of rounding does not choose between two that are equally near.
std::int64_t distance(Seconds at, int sample_rate, int lead) {
  const auto begin = static_cast<double>(block_begin(at, sample_rate, lead));
  return std::llround(std::abs(begin - wanted_begin(at, sample_rate, lead)) * 16.0);
}

}  // namespace

std::uint64_t block_begin(Seconds at, int sample_rate, int lead) {
  assert(at >= Seconds{0.0} && lead >= 0 && lead < kBlock);
  const double blocks = wanted_begin(at, sample_rate, lead) / kBlock;
  return static_cast<std::uint64_t>(std::floor(blocks + 0.5)) * kBlock;
}

std::vector<std::uint8_t> recipients(std::span<const TimedMessage> messages, int sample_rate,
                                     std::span<const int> leads) {
  assert(!leads.empty() && leads.size() <= kBlock);
  const std::array<Keys, kChannels> bound = bound_notes(messages, leads.size());
  std::vector<std::uint8_t> all(messages.size(), kEverySynthesizer);
  std::vector<std::size_t> notes(leads.size());
  std::array<Keys, kChannels> playing{};
  for (std::size_t i = 0; i < messages.size(); ++i) {
    const TimedMessage& message = messages[i];
    const int kind = message.size == 3 ? message.bytes[0] & 0xF0 : 0;
    if (kind != 0x90 && kind != 0x80) continue;
    const std::size_t channel = message.bytes[0] & 0x0Fu;
    const std::size_t key = message.bytes[1] & 0x7Fu;
    if (kind == 0x80) {
      all[i] = playing[channel][key].value_or(kEverySynthesizer);
      continue;
    }
    std::size_t chosen = bound[channel][key].value_or(0);
    std::pair best(std::numeric_limits<std::int64_t>::max(), std::size_t{0});
    for (std::size_t s = 0; s < leads.size() && !bound[channel][key]; ++s) {
      const std::pair mine(distance(message.at, sample_rate, leads[s]), notes[s]);
      if (mine < best) best = mine, chosen = s;
    }
    ++notes[chosen];
    all[i] = static_cast<std::uint8_t>(chosen);
    playing[channel][key] = all[i];
  }
  return all;
}

}  // namespace arsis
