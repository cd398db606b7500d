#include "draft/harmony.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "draft/metre.h"

namespace arsis {
namespace {

constexpr double kLegatoShare = 0.25;      // of a melody note that may overlap with the next
constexpr double kForgivenOverlap = 0.1;   // of any other note's length,
constexpr double kLongestOverlap = 0.125;  // but no more than this of a felt beat
constexpr double kMostPulses = 4.0;        // that one moment counts

// What a moment's tension is made of; a pitch class alone hardly makes a harmony.
constexpr double kUnrest = 0.5;
constexpr double kUnrestAlone = 0.25;
constexpr double kChordTension = 0.5;

// Until when a key sounds.
struct Ringing {
  Beats until;    // as harmony: legato taken off, a broken chord's note rung on
  Beats written;  // as written
  bool rings(Beats at) const { return written <= at && at < until; }  // is held by the ear alone
};

// The melody note that sounds, and the strongest place where it clashes.
struct Suspect {
  std::size_t note = 0;  // index into Score::notes
  std::optional<int> predecessor;
  bool sounds = false;
  bool clashes = false;
  Beats at;
  double weight = 0.0;
  bool prepared = false;            // the clash came to the note while it was held
  std::array<Beats, 128> others{};  // until when each of the others sounds as written
};

class Sweep {
 public:
  Sweep(const Score& score, std::span<const std::size_t> melody) : score_(score), melody_(melody) {
    result_.keys = local_keys(score);
  }

  Harmony run() {
    const std::vector<Note>& notes = score_.notes;
    for (std::size_t i = 0; i < notes.size();) {
      std::size_t last = i;
      while (last < notes.size() && notes[last].onset == notes[i].onset) ++last;
      step(i, last);
      i = last;
    }
    weigh_moments();
    return std::move(result_);
  }

 private:
  // All that begins at one moment.
  void step(std::size_t first, std::size_t last) {
    begun_.clear();
    std::optional<std::size_t> sung;
    for (std::size_t i = first; i < last; ++i) {
      const bool is_melody = next_ < melody_.size() && melody_[next_] == i;
      if (is_melody) ++next_;
      const Note& note = score_.notes[i];
      if (!makes_harmony(score_, note)) continue;
      if (is_melody) {
        sung = i;
      } else {
        begun_.push_back(i);
      }
    }
    if (!sung && begun_.empty()) return;
    const Beats at = score_.notes[first].onset;
    const Bar& bar = score_.bars.at(at);
    const double weight = metrical_weight(score_.bars, at);
    silence_rung(at);
    if (sung) settle(*sung, weight);
    for (const std::size_t other : begun_) sound(other, false, bar);
    if (sung) sound(*sung, true, bar);
    if (sung) begin_suspect(*sung);
    look_for_clash(at, weight);
    add_moment(at, bar);
  }

  // What only rings on ends where a chord begins, or a note within a tone of it.
  void silence_rung(Beats at) {
    constexpr int kTone = 2;
    if (begun_.empty()) return;
    const bool chord = begun_.size() > 1;
    const int key = score_.notes[begun_.front()].key;
    const int lowest = chord ? 0 : std::max(0, key - kTone);
    const int highest = chord ? 127 : std::min(127, key + kTone);
    for (int k = lowest; k <= highest; ++k) {
      Ringing& ringing = keys_[static_cast<std::size_t>(k)];
      if (ringing.rings(at)) ringing.until = at;
    }
  }

  void sound(std::size_t index, bool sung, const Bar& bar) {
    const Note& note = score_.notes[index];
    const Beats pulse = pulse_of(bar.signature);
    const Beats overlap = sung
                              ? note.length() * kLegatoShare
                              : std::min(note.length() * kForgivenOverlap, pulse * kLongestOverlap);
    Beats until = note.end - overlap;
    if (!sung) {
      const double beat = std::floor((note.onset - bar.downbeat) / pulse + 1e-6);
      until = std::max(until, bar.downbeat + pulse * (beat + 1.0));
    }
    Ringing& ringing = keys_[note.key];
    ringing.until = std::max(ringing.until, until);
    ringing.written = std::max(ringing.written, note.end);
  }

  void begin_suspect(std::size_t note) {
    if (suspect_.sounds) suspect_.predecessor = score_.notes[suspect_.note].key;
    suspect_.note = note;
    suspect_.sounds = true;
    suspect_.clashes = false;
    suspect_.weight = 0.0;
  }

  bool begins_now(int key) const {
    return std::ranges::any_of(begun_, [&](std::size_t i) { return score_.notes[i].key == key; });
  }

  // Whether the melody note clashes at this moment, on a stronger place than before: with what
  // sounds when it begins, or with what begins while it is held.
  void look_for_clash(Beats at, double weight) {
    if (!suspect_.sounds || (suspect_.clashes && weight < suspect_.weight)) return;
    const Note& note = score_.notes[suspect_.note];
    if (at >= note.end) return;
    held_.clear();
    for (std::size_t k = 0; k < keys_.size(); ++k) {
      if (k != note.key && keys_[k].until > at) held_.push_back(static_cast<std::uint8_t>(k));
    }
    const std::optional<int> over = clash(note.key, held_);
    if (!over || (at > note.onset && !begins_now(*over))) return;
    suspect_.clashes = true;
    suspect_.at = at;
    suspect_.weight = weight;
    suspect_.prepared = at > note.onset;
    suspect_.others.fill({});
    for (const std::uint8_t key : held_) {
      suspect_.others[key] = std::max(keys_[key].until, keys_[key].written);
    }
  }

  // The next melody note begins: is what clashed before resolved by it?
  void settle(std::size_t successor, double weight) {
    if (!suspect_.sounds || !suspect_.clashes || suspect_.weight < kOnTheBeat) return;
    const Note& note = score_.notes[suspect_.note];
    const Note& next = score_.notes[successor];
    const Beats slack = (next.onset - suspect_.at) * kForgivenOverlap;
    held_.clear();
    for (std::size_t k = 0; k < keys_.size(); ++k) {
      if (suspect_.others[k] > suspect_.at && suspect_.others[k] + slack >= next.onset) {
        held_.push_back(static_cast<std::uint8_t>(k));
      }
    }
    const MelodicStep step{
        .note = note.key,
        .successor = next.key,
        .predecessor = suspect_.prepared ? std::optional<int>(note.key) : suspect_.predecessor,
        .weight = suspect_.weight,
        .successor_weight = weight,
        .held = held_};
    if (const auto found = dissonance_of(step)) {
      result_.dissonances.push_back({suspect_.at, suspect_.weight, note.key, *found});
    }
  }

  void add_moment(Beats at, const Bar& bar) {
    ChordMoment moment;
    moment.at = at;
    for (std::size_t k = 0; k < keys_.size(); ++k) {
      if (keys_[k].until <= at) continue;
      if (moment.sounding == 0) moment.bass = static_cast<std::uint8_t>(k);
      moment.sounding = with_key(moment.sounding, static_cast<int>(k));
    }
    const auto index = static_cast<std::size_t>(&bar - score_.bars.all().data());
    const Tonality key = result_.keys[index];
    double unrest = 0.0;
    // From the tonic up, so that the sum is the same to the last bit in every key.
    for (int degree = 0; degree < 12; ++degree) {
      const int pitch_class = (key.tonic + degree) % 12;
      if ((moment.sounding >> pitch_class & 1) != 0) unrest += instability(key, pitch_class);
    }
    const int size = std::max(1, std::popcount(moment.sounding));
    moment.tension = (size > 1 ? kUnrest : kUnrestAlone) * unrest / size +
                     kChordTension * chord_tension(moment.sounding);
    result_.moments.push_back(moment);
  }

  void weigh_moments() {
    std::vector<ChordMoment>& moments = result_.moments;
    for (std::size_t i = 0; i < moments.size(); ++i) {
      const Beats pulse = pulse_of(score_.bars.at(moments[i].at).signature);
      const Beats next = i + 1 < moments.size() ? moments[i + 1].at : score_.end();
      const double pulses = std::min((next - moments[i].at) / pulse, kMostPulses);
      moments[i].load = pulses * (0.5 + 0.5 * metrical_weight(score_.bars, moments[i].at));
    }
  }

  const Score& score_;
  std::span<const std::size_t> melody_;
  std::size_t next_ = 0;  // of the melody, not yet begun
  std::array<Ringing, 128> keys_{};
  std::vector<std::size_t> begun_;  // at the moment under way, but for the melody's
  std::vector<std::uint8_t> held_;  // scratch
  Suspect suspect_;
  Harmony result_;
};

}  // namespace

Harmony harmony_of(const Score& score, std::span<const std::size_t> melody) {
  return Sweep(score, melody).run();
}

}  // namespace arsis
