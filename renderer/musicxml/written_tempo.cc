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
  if (played.tempo == nullptr) return 0;
  if (played.tempo->kind == TempoKind::kGradual) return 4;  // after the tempo that it leaves
  if (played.tempo->is_sound) return 3;
  return played.tempo->kind == TempoKind::kName ? 1 : 2;
}

bool is_gradual(const PlayedTempo& played) {
  return played.tempo != nullptr && played.tempo->kind == TempoKind::kGradual;
}

class TempoWriter {
 public:
  TempoWriter(const std::vector<PlayedTempo>& tempos, int division, Ticks end)
      : tempos_(tempos), division_(division), end_(end) {}

  std::vector<TempoChange> write() {
    for (std::size_t i = 0; i < tempos_.size(); ++i) {
      if (tempos_[i].tempo == nullptr) go_back(tempos_[i]);  // what comes here may be its share
      if (is_outdone(i)) continue;
      if (tempos_[i].tempo == nullptr) {
        if (is_new_) put(tempos_[i].at, now_);
      } else if (is_gradual(tempos_[i])) {
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
    return is_gradual(tempos_[i]) || !is_gradual(tempos_[i + 1]);
  }

  // To what was in force just before the passage began at first: what stands at its beginning comes
  // again.
  void go_back(const PlayedTempo& played) {
    const auto after = std::ranges::lower_bound(states_, *played.as_at, {}, &State::at);
    const State then = after == states_.begin() ? State{} : *std::prev(after);
    is_new_ = now_ != then.now;
    now_ = then.now;
    marked_ = then.marked;
    states_.push_back({played.at, now_, marked_});
  }

  void put(Ticks at, double quarters_a_minute) {
    now_ = std::clamp(quarters_a_minute, kSlowest, kFastest);
    changes_.push_back({beats_of(at, division_), std::llround(60e6 / now_)});
    states_.push_back({at, now_, marked_});
  }

  void set(const PlayedTempo& played) {
    const PageTempo& tempo = *played.tempo;
    switch (tempo.kind) {
      case TempoKind::kMark:
        mark(played.at, tempo.number);
        break;
      case TempoKind::kName:
        mark(played.at, tempo.number * counted_beat(played.signature).value);
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
    states_.back().marked = now_;
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

  struct State {
    Ticks at = 0;
    double now = kUsualTempo;
    double marked = kUsualTempo;
  };

  const std::vector<PlayedTempo>& tempos_;
  int division_;
  Ticks end_;
  std::vector<TempoChange> changes_;
  std::vector<State> states_;  // by time
  bool is_new_ = false;        // whether going back has changed it
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
