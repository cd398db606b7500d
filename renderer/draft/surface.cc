#include "draft/surface.h"

#include <fmt/format.h>

#include <algorithm>

#include "draft/accents.h"
#include "draft/metre.h"
#include "draft/pitch_names.h"

namespace arsis {
namespace {

constexpr double kRest =
    0.5;  // of a felt beat: a longer silence ends a note, a shorter one is touch

// Until the next note begins, or, across a rest, until the note ends.
Beats heard_length(const Note& note, const Note* next, Beats pulse) {
  if (next == nullptr) return note.length();
  const bool rest = next->onset - note.end > pulse * kRest;
  return rest ? note.length() : next->onset - note.onset;
}

std::vector<LineNote> line_of(const Material& material) {
  const Score& score = material.score;
  const std::vector<std::size_t>& melody = material.bound.melody;
  std::vector<int> keys;
  keys.reserve(melody.size());
  for (const std::size_t note : melody) keys.push_back(score.notes[note].key);
  const std::vector<double> accents = melodic_accents(keys);
  std::vector<LineNote> line;
  line.reserve(melody.size());
  for (std::size_t i = 0; i < melody.size(); ++i) {
    const Note& note = score.notes[melody[i]];
    const Note* next = i + 1 < melody.size() ? &score.notes[melody[i + 1]] : nullptr;
    LineNote entry{.onset = note.onset,
                   .pulse = pulse_of(score.bars.at(note.onset).signature),
                   .length = {},
                   .note = melody[i],
                   .key = note.key,
                   .weight = metrical_weight(score.bars, note.onset),
                   .melodic_accent = accents[i]};
    entry.length = heard_length(note, next, entry.pulse);
    entry.durational_accent = durational_accent(kReferencePulse * entry.pulses());
    line.push_back(entry);
  }
  if (!line.empty()) line.front().melodic_accent = 0.0;
  return line;
}

}  // namespace

std::span<const LineNote> Surface::line_within(Span span) const {
  const auto first = std::ranges::lower_bound(line, span.begin, {}, &LineNote::onset);
  const auto last = std::ranges::lower_bound(line, span.end, {}, &LineNote::onset);
  return last > first ? std::span<const LineNote>(first, last) : std::span<const LineNote>();
}

std::string Surface::place(Beats at) const {
  return to_string(material.score.bars.position_of(at));
}

Tonality Surface::key_at(Beats at) const {
  const Bar& bar = material.score.bars.at(at);
  return harmony.keys[static_cast<std::size_t>(&bar - material.score.bars.all().data())];
}

std::string Surface::named(const LineNote& note) const {
  return fmt::format("{} at {}", pitch_name(note.key, key_at(note.onset)), place(note.onset));
}

Surface surface_of(const Material& material) {
  Surface surface{material, line_of(material), {}, {}};
  surface.harmony = harmony_of(material.score, material.bound.melody);
  for (const DynamicLine& line : material.bound.dynamics) surface.dynamics.emplace_back(line);
  return surface;
}

}  // namespace arsis
