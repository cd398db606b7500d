#include "take/disturbed.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <random>
#include <tuple>

namespace arsis::test {
namespace {

// The same numbers on every machine: the distributions of the library need not be.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double share() { return static_cast<double>(engine_() >> 11) * 0x1p-53; }
  int below(int end) { return static_cast<int>(share() * end); }
  double normal() {
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) sum += share();
    return sum;
  }

 private:
  std::mt19937_64 engine_;
};

struct Tagged {
  PlayedNote note;
  Beats beat;
  std::int64_t score = -1;  // none: -1
  int pass = 0;             // leaps before it
};

std::vector<Tagged> tagged(const Score& score, const std::vector<PerformedNote>& played,
                           const std::vector<int>& parts) {
  std::vector<Tagged> notes;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const bool plays =
        parts.empty() || std::ranges::find(parts, score.notes[i].part) != parts.end();
    if (!plays || !played[i].sounds) continue;
    notes.push_back({{played[i].onset, played[i].end, score.notes[i].key, played[i].velocity},
                     score.notes[i].onset,
                     static_cast<std::int64_t>(i),
                     0});
  }
  return notes;
}

// When the first note at or after a beat sounds.
Seconds second_of(const std::vector<Tagged>& notes, Beats beat) {
  Seconds first{1e9};
  for (const Tagged& note : notes) {
    if (note.beat >= beat) first = std::min(first, note.note.onset);
  }
  return first;
}

std::vector<Tagged> with_leaps(const std::vector<Tagged>& notes, const std::vector<Leap>& leaps) {
  std::vector<Tagged> result;
  Beats begin{-1.0};
  Seconds shift{0.0};
  for (std::size_t pass = 0; pass <= leaps.size(); ++pass) {
    const Beats end = pass < leaps.size() ? leaps[pass].from : Beats{1e9};
    for (Tagged note : notes) {
      if (note.beat < begin || note.beat >= end) continue;
      note.note.onset += shift;
      note.note.end += shift;
      note.pass = static_cast<int>(pass);
      result.push_back(note);
    }
    if (pass == leaps.size()) break;
    const Leap& leap = leaps[pass];
    shift += second_of(notes, leap.from) - second_of(notes, leap.to) + leap.pause;
    begin = leap.to;
  }
  return result;
}

void add_trills(const Score& score, std::vector<Tagged>& notes, double share, Dice& dice) {
  constexpr double kStroke = 0.08;
  const std::size_t count = notes.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Note& written = score.notes[static_cast<std::size_t>(notes[i].score)];
    if (written.length() < Beats{1.0} || dice.share() >= share) continue;
    for (int stroke = 1; stroke <= 5; ++stroke) {
      Tagged extra = notes[i];
      extra.score = -1;
      extra.note.onset += Seconds{kStroke * stroke};
      extra.note.end = extra.note.onset + Seconds{kStroke};
      if (stroke % 2 == 1) extra.note.key = static_cast<std::uint8_t>(extra.note.key + 2);
      notes.push_back(extra);
    }
  }
}

void move_in_time(std::vector<Tagged>& notes, const Disturbance& how, Dice& dice) {
  constexpr double kSway = 2.0 * std::numbers::pi / 9.0;  // of nine seconds
  const auto warped = [&](double t) {
    return (t + how.rubato * (1.0 - std::cos(kSway * t)) / kSway) / how.tempo;
  };
  for (Tagged& note : notes) {
    const double late = how.spread.value * dice.share() + how.noise.value * dice.normal();
    const double length = (note.note.end - note.note.onset).value / how.tempo;
    note.note.onset = Seconds{std::max(0.0, warped(note.note.onset.value) + late)};
    note.note.end = note.note.onset + Seconds{length};
  }
}

void spoil(std::vector<Tagged>& notes, const Disturbance& how, Dice& dice) {
  std::vector<Tagged> added;
  for (Tagged& note : notes) {
    if (dice.share() < how.added) {
      Tagged extra = note;
      extra.score = -1;
      extra.note.onset += Seconds{dice.share() * 0.5};
      extra.note.key =
          static_cast<std::uint8_t>(std::clamp(extra.note.key + dice.below(25) - 12, 21, 108));
      added.push_back(extra);
    }
    if (dice.share() < how.wrong) {
      constexpr int kSlips[] = {-2, -1, 1, 2};
      note.score = -1;
      note.note.key = static_cast<std::uint8_t>(note.note.key + kSlips[dice.below(4)]);
    }
  }
  std::erase_if(notes, [&](const Tagged&) { return dice.share() < how.dropped; });
  notes.insert(notes.end(), added.begin(), added.end());
}

}  // namespace

KnownTake disturbed(const Score& score, const std::vector<PerformedNote>& played,
                    const Disturbance& how) {
  Dice dice(how.seed);
  std::vector<Tagged> notes = with_leaps(tagged(score, played, how.parts), how.leaps);
  std::map<std::int64_t, int> last_pass;  // of each beat that is played, whoever is heard there
  for (const Tagged& note : notes) {
    int& pass = last_pass[std::llround(note.beat.value * score.division)];
    pass = std::max(pass, note.pass);
  }
  add_trills(score, notes, how.trilled, dice);
  move_in_time(notes, how, dice);
  spoil(notes, how, dice);
  std::ranges::stable_sort(notes, [](const Tagged& a, const Tagged& b) {
    return std::tuple(a.note.onset, a.note.key) < std::tuple(b.note.onset, b.note.key);
  });
  KnownTake known;
  for (const Tagged& note : notes) {
    const auto index = static_cast<std::uint32_t>(known.take.notes.size());
    known.take.notes.push_back(note.note);
    if (note.score < 0) continue;
    const bool counts = last_pass[std::llround(note.beat.value * score.division)] == note.pass;
    (counts ? known.pairs : known.earlier)
        .push_back({static_cast<std::uint32_t>(note.score), index});
  }
  std::ranges::sort(known.pairs);
  std::ranges::sort(known.earlier);
  return known;
}

std::vector<PerformedNote> played_plainly(const Score& score) {
  std::vector<PerformedNote> played;
  for (const Note& note : score.notes) {
    played.push_back(
        {score.tempo.seconds_at(note.onset), score.tempo.seconds_at(note.end), note.velocity});
  }
  return played;
}

namespace {

constexpr int kScale[] = {0, 2, 4, 5, 7, 9, 11};

int scale_key(int degree) { return 12 * (degree / 7) + kScale[degree % 7]; }

class PianoWriter {
 public:
  explicit PianoWriter(std::uint64_t seed) : dice_(seed) {
    score_.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
    score_.tracks = {{"right", {}}, {"left", {}}};
    score_.tempo = TempoMap(std::vector<TempoChange>{{{0.0}, 600'000}});
  }

  Score write(int bars) {
    std::size_t group = 0;
    for (int bar = 0; bar < bars; ++bar) {
      const std::size_t begin = score_.notes.size();
      if (bar % 4 == 0) group = begin;
      if (bar % 4 == 3) {
        repeat(group, begin, bar % 2 == 0 ? 8.0 : 12.0);
      } else {
        write_right(bar * 4.0);
        write_left(bar * 4.0);
      }
    }
    std::ranges::sort(score_.notes, [](const Note& a, const Note& b) {
      return std::tuple(a.onset, a.part, a.key) < std::tuple(b.onset, b.part, b.key);
    });
    score_.bars = Bars::of({}, score_.end());
    return std::move(score_);
  }

 private:
  void add(int part, double onset, double length, int degree) {
    Note note;
    note.onset = {onset};
    note.end = {onset + length};
    note.part = static_cast<std::uint16_t>(part);
    note.key = static_cast<std::uint8_t>(scale_key(degree));
    score_.notes.push_back(note);
  }

  // The first bar of the group once more.
  void repeat(std::size_t begin, std::size_t end, double later) {
    const Beats first = score_.notes[begin].onset;
    for (std::size_t i = begin; i < end; ++i) {
      Note note = score_.notes[i];
      if (note.onset >= first + Beats{4.0}) continue;
      note.onset += Beats{later};
      note.end += Beats{later};
      score_.notes.push_back(note);
    }
  }

  void write_right(double at) {
    for (double beat = 0.0; beat < 4.0;) {
      const int kind = dice_.below(6);
      const double length = kind == 0 ? 0.25 : kind < 4 ? 0.5 : 1.0;
      const int count = kind == 0 ? 4 : kind < 4 ? 2 : 1;
      for (int i = 0; i < count && beat < 4.0; ++i, beat += length) {
        melody_ = std::clamp(melody_ + dice_.below(5) - 2, 37, 48);
        add(0, at + beat, length, melody_);
        if (dice_.below(8) == 0) add(0, at + beat, length, melody_ - 2);
        if (dice_.below(12) == 0) add(0, at + beat, length, melody_ - 4);
      }
    }
  }

  void write_left(double at) {
    const int root = 21 + dice_.below(7);
    const int kind = dice_.below(3);
    for (int eighth = 0; eighth < 8; ++eighth) {
      constexpr int kBroken[] = {0, 4, 2, 4, 0, 4, 2, 4};
      const double onset = at + eighth * 0.5;
      if (kind == 0) add(1, onset, 0.5, root + kBroken[eighth]);
      if (kind == 1 && eighth % 2 == 0) {
        add(1, onset, 1.0, root);
        add(1, onset, 1.0, root - 7);
      }
      if (kind == 2 && eighth % 4 == 0) {
        for (const int step : {0, 2, 4}) add(1, onset, 2.0, root + step);
      }
    }
  }

  Dice dice_;
  int melody_ = 42;
  Score score_;
};

}  // namespace

Score piano_score(int bars, std::uint64_t seed) { return PianoWriter(seed).write(bars); }

Agreement agreement(std::size_t correct, std::size_t found, std::size_t known) {
  const auto share = [](double part, double whole) { return whole == 0.0 ? 0.0 : part / whole; };
  const auto right = static_cast<double>(correct);
  const auto all = static_cast<double>(found + known);
  return {share(right, static_cast<double>(found)), share(right, static_cast<double>(known)),
          share(2.0 * right, all)};
}

Agreement agreement(const std::vector<NotePair>& found, const std::vector<NotePair>& known) {
  std::vector<NotePair> both;
  std::ranges::set_intersection(found, known, std::back_inserter(both));
  return agreement(both.size(), found.size(), known.size());
}

}  // namespace arsis::test
