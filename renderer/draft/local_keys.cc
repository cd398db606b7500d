// The key of each bar, from what sounds around it.
#include <algorithm>
#include <optional>

#include "draft/harmony.h"

namespace arsis {
namespace {

constexpr std::size_t kWindow = 4;    // bars,
constexpr std::size_t kBefore = 2;    // of which before the one in question
constexpr double kSignature = 0.1;    // a fit better by this
constexpr double kKept = 0.05;        // likewise
constexpr std::size_t kMostBars = 8;  // of one held note that are counted

// How long each pitch class sounds in each bar, as shares of the bar's length.
std::vector<PitchHistogram> bar_histograms(const Score& score) {
  const std::span<const Bar> bars = score.bars.all();
  std::vector<PitchHistogram> histograms(bars.size());
  std::size_t bar = 0;
  for (const Note& note : score.notes) {
    while (bar + 1 < bars.size() && bars[bar].span.end <= note.onset) ++bar;
    if (!makes_harmony(score, note)) continue;
    const std::size_t last = std::min(bars.size(), bar + kMostBars);
    for (std::size_t i = bar; i < last && bars[i].span.begin < note.end; ++i) {
      const Beats sounds =
          std::min(note.end, bars[i].span.end) - std::max(note.onset, bars[i].span.begin);
      if (sounds <= Beats{}) continue;
      histograms[i][note.key % 12] += sounds / bars[i].signature.bar_length();
    }
  }
  return histograms;
}

// The major key of a signature; its relative minor has the tonic three semitones lower.
int major_tonic(int sharps) { return ((sharps * 7) % 12 + 12) % 12; }

void favour(KeyFits& fits, int sharps) {
  const int tonic = major_tonic(sharps);
  fits[index_of(Tonality{tonic, false})] += kSignature;
  fits[index_of(Tonality{(tonic + 9) % 12, true})] += kSignature;
}

// Where ties are decided from: what the piece begins with, which moves with it.
int reference_of(const Score& score) {
  const auto first = std::ranges::find_if(
      score.notes, [&](const Note& note) { return makes_harmony(score, note); });
  return first == score.notes.end() ? 0 : first->key % 12;
}

PitchHistogram around(const std::vector<PitchHistogram>& histograms, std::size_t bar) {
  PitchHistogram sum{};
  const std::size_t latest = histograms.size() - std::min(histograms.size(), kWindow);
  const std::size_t first = std::min(bar - std::min(bar, kBefore), latest);
  const std::size_t last = std::min(histograms.size(), first + kWindow);
  for (std::size_t i = first; i < last; ++i) {
    for (std::size_t k = 0; k < 12; ++k) sum[k] += histograms[i][k];
  }
  return sum;
}

}  // namespace

std::vector<Tonality> local_keys(const Score& score) {
  const std::span<const Bar> bars = score.bars.all();
  const std::vector<PitchHistogram> histograms = bar_histograms(score);
  const int reference = reference_of(score);
  std::vector<Tonality> keys;
  keys.reserve(bars.size());
  std::size_t signature = 0;  // how many are in force by now
  for (std::size_t bar = 0; bar < bars.size(); ++bar) {
    while (signature < score.keys.size() && score.keys[signature].at < bars[bar].span.end) {
      ++signature;
    }
    KeyFits fits = key_fits(around(histograms, bar));
    if (signature > 0) favour(fits, score.keys[signature - 1].sharps);
    if (bar > 0) fits[index_of(keys.back())] += kKept;
    keys.push_back(best_key(fits, reference));
  }
  return keys;
}

}  // namespace arsis
