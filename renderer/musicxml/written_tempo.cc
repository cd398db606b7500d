#include "musicxml/written_tempo.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace arsis {
namespace {

constexpr double kUsualTempo = 120.0;  // quarter notes a minute; Standard MIDI Files 1.0
constexpr double kSlowest = 4.0;       // a MIDI file can hold 3.6
constexpr double kFastest = 2'000.0;
constexpr int kMostBars = 2;         // of a "rit." that nothing ends
constexpr Ticks kStepsAQuarter = 2;  // of a gradual change

// What counts at one moment stands last.
int rank_of(const PlayedTempo& played) {
  if (played.tempo->kind == TempoKind::kGradual) return 4;  // after the tempo that it leaves
  if (played.tempo->is_sound) return 3;
  return played.tempo->kind == TempoKind::kName ? 1 : 2;
}

// Quarter notes that a listener counts as one beat.
double counted_quarters(TimeSignature signature) {
  const bool compound = signature.beat_unit >= 8 && signature.beats % 3 == 0 && signature.beats > 3;
  return signature.beat_length().value * (compound ? 3.0 : 1.0);
}

class TempoWriter {
 public:
  TempoWriter(const std::vector<PlayedTempo>& tempos, int division, Ticks end)
      : tempos_(tempos), division_(division), end_(end) {}

  std::vector<TempoChange> write() {
    for (std::size_t i = 0; i < tempos_.size(); ++i) {
      if (is_outdone(i)) continue;
      if (tempos_[i].tempo->kind == TempoKind::kGradual) {
        change_gradually(i);
      } else {
        set(tempos_[i]);
      }
    }
    return std::move(changes_);
  }

 private:
  // Whether another at the same moment counts instead, or the same stands in another part.
  bool is_outdone(std::size_t i) const {
    if (i + 1 >= tempos_.size() || tempos_[i + 1].at != tempos_[i].at) return false;
    const bool next_is_gradual = tempos_[i + 1].tempo->kind == TempoKind::kGradual;
    return tempos_[i].tempo->kind == TempoKind::kGradual || !next_is_gradual;
  }

  void put(Ticks at, double quarters_a_minute) {
    now_ = std::clamp(quarters_a_minute, kSlowest, kFastest);
    changes_.push_back(
        {{static_cast<double>(at) / static_cast<double>(division_)}, std::llround(60e6 / now_)});
  }

  void set(const PlayedTempo& played) {
    const PageTempo& tempo = *played.tempo;
    switch (tempo.kind) {
      case TempoKind::kMark:
        mark(played.at, tempo.number);
        break;
      case TempoKind::kName:
        mark(played.at, tempo.number * counted_quarters(played.signature));
        break;
      case TempoKind::kEqual:
        mark(played.at, now_ * tempo.number);
        break;
      case TempoKind::kAtOnce:
      case TempoKind::kGradual:
        put(played.at, now_ * tempo.number);
        break;
      case TempoKind::kBack:
        put(played.at, marked_);
        break;
      case TempoKind::kFirst:
        mark(played.at, first_);
        break;
    }
  }

  void mark(Ticks at, double quarters_a_minute) {
    put(at, quarters_a_minute);
    marked_ = now_;
    if (!has_mark_) first_ = now_;
    has_mark_ = true;
  }

  void change_gradually(std::size_t index) {
    const PlayedTempo& played = tempos_[index];
    const double bar = played.signature.bar_length().value * static_cast<double>(division_);
    const Ticks reach = played.at + std::llround(bar * kMostBars);
    Ticks next = end_;
    for (std::size_t i = index + 1; i < tempos_.size(); ++i) {
      if (tempos_[i].at == played.at) continue;
      next = tempos_[i].at;
      break;
    }
    const Ticks to = std::min(played.to.value_or(std::min(reach, next)), next);
    if (to <= played.at) return;
    const double from_tempo = now_;
    const double to_tempo = from_tempo * played.tempo->number;
    const Ticks count = std::max<Ticks>(1, (to - played.at) * kStepsAQuarter / division_);
    for (Ticks step = 0; step < count; ++step) {
      const double share = static_cast<double>(step + 1) / static_cast<double>(count);
      put(played.at + (to - played.at) * step / count,
          from_tempo + (to_tempo - from_tempo) * share);
    }
    if (to < next) put(to, from_tempo);
  }

  const std::vector<PlayedTempo>& tempos_;
  int division_;
  Ticks end_;
  std::vector<TempoChange> changes_;
  double now_ = kUsualTempo;
  double marked_ = kUsualTempo;  // that "a tempo" goes back to
  double first_ = kUsualTempo;
  bool has_mark_ = false;
};

}  // namespace

std::vector<TempoChange> written_tempo(std::vector<PlayedTempo> tempos, int division, Ticks end) {
  std::ranges::stable_sort(
      tempos, {}, [](const PlayedTempo& each) { return std::tuple(each.at, rank_of(each)); });
  return TempoWriter(tempos, division, end).write();
}

}  // namespace arsis
