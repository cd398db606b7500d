// Appoggiaturas and suspensions: dissonances of the melody on a strong place that resolve by step.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

namespace arsis {

// A melody note, the one that follows it, and what sounds with both. Keys are MIDI note numbers.
struct MelodicStep {
  int note = 60;
  int successor = 60;
  std::optional<int> predecessor;
  double weight = 1.0;  // of the place where the note clashes: metrical_weight()
  double successor_weight = 1.0;
  // The other notes that sound with the note and last until the successor; in any order.
  std::span<const std::uint8_t> held;
};

enum class DissonanceKind : std::uint8_t { kAppoggiatura, kSuspension };

struct Dissonance {
  DissonanceKind kind = DissonanceKind::kAppoggiatura;
  int over = 60;  // the key that it rubs against most
};

// The key among `others` against which `key` is dissonant: a minor second or its kin first, then a
// tritone, a major second or its kin, a fourth above the lowest; none if it is consonant with all.
std::optional<int> clash(int key, std::span<const std::uint8_t> others);

// The note is dissonant against a held one, stands at least as strong as its successor, moves by
// one or two semitones, and the successor is not dissonant: then it is a suspension if the note
// before was of the same pitch, else an appoggiatura. Source: textbook rule (from memory).
std::optional<Dissonance> dissonance_of(const MelodicStep& step);

}  // namespace arsis
