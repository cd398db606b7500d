#include "draft/cadence.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "draft/harmony.h"

namespace arsis {
namespace {

bool is_strong(const Bar& bar, Beats at) {
  if (same_moment(at, bar.downbeat)) return true;
  return bar.signature.beats % 2 == 0 && bar.signature.beats >= 4 &&
         same_moment(at, bar.downbeat + bar.signature.bar_length() * 0.5);
}

// The lowest key among notes that begin in [from, to) and, where `still_at` is given, sound then.
std::optional<int> lowest(const Score& score, Beats from, Beats to,
                          std::optional<Beats> still_at = std::nullopt) {
  std::optional<int> key;
  auto note = std::ranges::lower_bound(score.notes, from, {}, &Note::onset);
  for (; note != score.notes.end() && note->onset < to; ++note) {
    if (!makes_harmony(score, *note) || (still_at && note->end <= *still_at + kSameMoment))
      continue;
    if (!key || note->key < *key) key = note->key;
  }
  return key;
}

double step_of_bass(int before, int now) {
  if ((now - before + 120) % 12 == 5) return 1.0;
  const int size = std::abs(now - before);
  return size == 1 || size == 2 ? 0.4 : 0.0;
}

bool is_stable(int melody, int bass) {
  const int interval = (melody - bass) % 12;
  return interval == 0 || interval == 3 || interval == 4 || interval == 7;
}

double cadence_with(const Score& score, const Bar& bar, const MelodyNote& note) {
  const Beats length = bar.signature.bar_length();
  const auto now =
      lowest(score, note.onset - length * 2.0 - kSameMoment, note.onset + kSameMoment, note.onset);
  if (!now || *now >= note.key || !is_stable(note.key, *now)) return 0.0;
  double strength = 0.0;
  for (const double share : {0.5, 1.0}) {
    const auto before =
        lowest(score, note.onset - length * share - kSameMoment, note.onset - kSameMoment);
    if (before) strength = std::max(strength, step_of_bass(*before, *now));
  }
  return strength;
}

}  // namespace

std::vector<double> cadences(const Score& score, std::span<const MelodyNote> line,
                             Beats long_note) {
  std::vector<double> strengths(line.size());
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Beats length =
        i + 1 < line.size() ? interval_after(line, i) : line[i].end - line[i].onset;
    const Bar& bar = score.bars.at(line[i].onset);
    if (length + kSameMoment < long_note || !is_strong(bar, line[i].onset)) continue;
    const double share = std::min(1.0, length / long_note - 0.5);
    strengths[i] = share * cadence_with(score, bar, line[i]);
  }
  return strengths;
}

}  // namespace arsis
