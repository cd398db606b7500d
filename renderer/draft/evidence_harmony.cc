// Harmony: the tenser member outweighs the one that resolves it.
#include <fmt/format.h>

#include <algorithm>
#include <bit>

#include "draft/comparison.h"
#include "draft/evidence.h"
#include "draft/pitch_names.h"

namespace arsis {
namespace {

constexpr double kFullTensionLead = 0.35;  // of tension: a dominant seventh beside its tonic
constexpr double kDissonance = 0.2;  // of tension, for a dissonance that resolves on a downbeat

struct Tension {
  std::optional<double> mean;
  const ChordMoment* tensest = nullptr;
  const MelodicDissonance* dissonance = nullptr;  // on the strongest place

  std::optional<double> measure() const {
    if (!mean) return std::nullopt;
    return *mean + (dissonance != nullptr ? kDissonance * dissonance->weight : 0.0);
  }
};

template <class Entry>
std::span<const Entry> within(const std::vector<Entry>& entries, Span span) {
  const auto first = std::ranges::lower_bound(entries, span.begin, {}, &Entry::at);
  const auto last = std::ranges::lower_bound(entries, span.end, {}, &Entry::at);
  return last > first ? std::span<const Entry>(first, last) : std::span<const Entry>();
}

Tension tension_of(const Harmony& harmony, Span member) {
  Tension tension;
  double sum = 0.0;
  double load = 0.0;
  double most = 0.0;
  for (const ChordMoment& moment : within(harmony.moments, member)) {
    sum += moment.tension * moment.load;
    load += moment.load;
    if (tension.tensest != nullptr && moment.tension * moment.load <= most) continue;
    tension.tensest = &moment;
    most = moment.tension * moment.load;
  }
  if (load > 0.0) tension.mean = sum / load;
  for (const MelodicDissonance& entry : within(harmony.dissonances, member)) {
    if (tension.dissonance == nullptr || entry.weight > tension.dissonance->weight) {
      tension.dissonance = &entry;
    }
  }
  return tension;
}

// "D over C sharp on the beat, resolving by step (3:1)".
std::string dissonance_words(const Surface& surface, const MelodicDissonance& entry) {
  const Tonality key = surface.key_at(entry.at);
  const bool suspended = entry.dissonance.kind == DissonanceKind::kSuspension;
  return fmt::format("{}{} over {} on the beat, resolving by step ({})",
                     suspended ? "suspended " : "", pitch_class_name(entry.key, key),
                     pitch_class_name(entry.dissonance.over, key), surface.place(entry.at));
}

// "tenser harmony (G, B, D, F at 2:1), resolved after it", from the bass upwards.
std::string chord_words(const Surface& surface, const ChordMoment& moment, bool resolved) {
  const Tonality key = surface.key_at(moment.at);
  std::string names;
  for (int above = 0; above < 12; ++above) {
    const int pitch_class = (moment.bass + above) % 12;
    if ((moment.sounding >> pitch_class & 1) == 0) continue;
    names += fmt::format("{}{}", names.empty() ? "" : ", ", pitch_class_name(pitch_class, key));
  }
  if (std::has_single_bit(moment.sounding)) {
    return fmt::format("further from rest in the key ({} at {})", names, surface.place(moment.at));
  }
  return fmt::format("tenser harmony ({} at {}){}", names, surface.place(moment.at),
                     resolved ? ", resolved after it" : "");
}

std::string words_for(const Surface& surface, const Tension& tension, const Tension* next) {
  const bool rubs = tension.dissonance != nullptr;
  const bool more = rubs && (next == nullptr || next->dissonance == nullptr ||
                             next->dissonance->weight <= tension.dissonance->weight);
  if (more) return dissonance_words(surface, *tension.dissonance);
  if (tension.tensest == nullptr) return {};
  const bool resolved = next != nullptr && next->mean && *next->mean < *tension.mean;
  return chord_words(surface, *tension.tensest, resolved);
}

}  // namespace

Findings harmony_evidence(const Surface& surface, const Members& members) {
  std::vector<Tension> tensions;
  std::vector<std::optional<double>> measures;
  for (const Span& member : members.spans) {
    tensions.push_back(tension_of(surface.harmony, member));
    measures.push_back(tensions.back().measure());
  }
  const std::vector<double> scores = compared(measures, kFullTensionLead);
  Findings findings(scores.size());
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = scores[i];
    if (scores[i] < kWorthWords) continue;
    const Tension* next = i + 1 < tensions.size() ? &tensions[i + 1] : nullptr;
    findings[i].words = words_for(surface, tensions[i], next);
  }
  return findings;
}

}  // namespace arsis
