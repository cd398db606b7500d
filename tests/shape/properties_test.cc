// What must hold for every score, every plan and every choice of layers.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "property.h"
#include "shape/energy.h"
#include "shape/perform.h"
#include "shape/random_music.h"
#include "shape/time.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

using test::holds;
using test::Music;
using test::MusicWishes;
using test::random_layers;
using test::random_music;

// Of each property; a tenth of them under the sanitizers (property.h).
constexpr int kCases = 10'000;

// Strikes closer than this sound as one note (part_keys), as loud as the louder.
constexpr double kTogether = 0.005;

bool is_on_melody_line(const Music& music, std::size_t note) {
  return std::ranges::binary_search(music.bound.melody, note);
}

// A diminuendo that a louder mark at its end contradicts is none.
bool is_diminuendo(const DynamicStretch& stretch) {
  return stretch.falls && stretch.end_step <= stretch.begin_step;
}

// Whether a written diminuendo may hold the note down.
bool in_diminuendo(const Music& music, const Note& note) {
  const DynamicLine& line = music.bound.dynamics[music.bound.parts[note.part].dynamics];
  return std::ranges::any_of(line, [&](const DynamicStretch& stretch) {
    return is_diminuendo(stretch) && stretch.from <= note.onset && note.onset <= stretch.to;
  });
}

// Both notes of a key that meet sound with the louder's velocity: not this note's own.
bool is_shared_key(const Music& music, const Shaped& shaped, std::size_t note) {
  const auto channel = [&](std::size_t i) {
    return music.score.parts[music.score.notes[i].part].channel;
  };
  for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
    if (i == note || music.score.notes[i].key != music.score.notes[note].key ||
        channel(i) != channel(note)) {
      continue;
    }
    const double apart =
        (shaped.performance.notes[i].onset - shaped.performance.notes[note].onset).value;
    if (std::abs(apart) < kTogether ||
        music.score.notes[i].onset == music.score.notes[note].onset) {
      return true;
    }
  }
  return false;
}

// Whether its key strikes again where the note ends or before.
bool is_struck_again(const Music& music, std::size_t note) {
  const Note& ending = music.score.notes[note];
  const auto channel = [&](const Note& n) { return music.score.parts[n.part].channel; };
  return std::ranges::any_of(music.score.notes, [&](const Note& other) {
    return other.key == ending.key && channel(other) == channel(ending) &&
           other.onset > ending.onset && other.onset <= ending.end;
  });
}

// The onsets at which a sentence's main line culminates.
bool is_sentence_goal(const Music& music, Beats at) {
  return std::ranges::any_of(music.bound.sentences,
                             [&](const Block& sentence) { return sentence.goal == at; });
}

bool is_in_a_sentence(const Music& music, Beats at) {
  return std::ranges::any_of(music.bound.sentences,
                             [&](const Block& sentence) { return sentence.span.holds(at); });
}

TEST(EveryPerformance, KeepsEveryNoteUnderItsCeiling) {
  EXPECT_TRUE(holds(kCases, [] {
    const Music music = random_music({.fermatas = true, .closing = true});
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const NoteLevel& level = shaped.levels[i];
      RC_ASSERT(level.arc_level.value <= level.ceiling.value + 1e-9);
      RC_ASSERT(level.level.value <= level.ceiling.value + level.lift.value + 1e-9);
      if (is_shared_key(music, shaped, i)) continue;
      RC_ASSERT(shaped.performance.notes[i].velocity <= velocity_at(level.ceiling + level.lift));
    }
  }));
}

TEST(EveryPerformance, ReachesTheCeilingAtTheGoalOfTheMainMotifOfTheMainPhrase) {
  int reached = 0;
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music();
    const Shaped shaped = perform(music.score, music.bound);
    for (const Block& sentence : music.bound.sentences) {
      // Where a main sentence is named, the piece's arc keeps the others below.
      if (!music.bound.piece.empty() && !sentence.is_main) continue;
      for (const std::size_t i : music.bound.melody) {
        const Note& note = music.score.notes[i];
        if (note.onset != sentence.goal || in_diminuendo(music, note)) continue;
        const NoteLevel& level = shaped.levels[i];
        RC_ASSERT(std::abs((level.arc_level - level.ceiling).value) < 1e-9);
        ++reached;
        if (is_shared_key(music, shaped, i)) continue;
        RC_ASSERT(shaped.performance.notes[i].velocity == velocity_at(level.ceiling + level.lift));
      }
    }
  }));
  EXPECT_GT(reached, kCases / test::kShare);  // the property was about something
}

TEST(EveryPerformance, ReachesTheCeilingNowhereElse) {
  int below = 0;
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music();
    const Shaped shaped = perform(music.score, music.bound);
    const Decibels floor = music.bound.tuning().decibels(Constant::kFloor);
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const Beats at = music.score.notes[i].onset;
      if (is_sentence_goal(music, at) || !is_in_a_sentence(music, at)) continue;
      const NoteLevel& level = shaped.levels[i];
      RC_ASSERT(level.ceiling > floor);  // there is room
      RC_ASSERT(level.arc_level < level.ceiling);
      ++below;
    }
  }));
  EXPECT_GT(below, kCases / test::kShare);
}

TEST(EveryPerformance, IsFlatAtAmountNought) {
  EXPECT_TRUE(holds(kCases, [] {
    const Music music = random_music({.closing = true});
    Layers layers;
    layers.amount = 0.0;
    const Shaped shaped = perform(music.score, music.bound, layers);
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const Note& note = music.score.notes[i];
      const NoteLevel& level = shaped.levels[i];
      RC_ASSERT(level.arc_level == level.ceiling);
      if (is_on_melody_line(music, i)) {
        const Decibels written = std::min(level.ceiling + level.lift, Decibels{0.0});
        RC_ASSERT(std::abs((level.level - written).value) < 1e-9);
      }
      const double late =
          (shaped.performance.notes[i].onset - music.score.tempo.seconds_at(note.onset)).value;
      // Only the accompaniment may be late, by the melody's lead.
      const bool may_wait = note.part == 1;
      RC_ASSERT(late >= -1e-9);
      RC_ASSERT(late <= (may_wait ? 0.040 : 0.0) + 1e-9);
    }
  }));
}

TEST(EveryPerformance, IsTheScoreWithItsDynamicsAtAmountNoughtAndTheTouchOff) {
  int whole = 0;
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music({.fermatas = true, .closing = true});
    Layers layers;
    layers.amount = 0.0;
    layers.touch = false;
    const Shaped shaped = perform(music.score, music.bound, layers);
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const Note& note = music.score.notes[i];
      const PerformedNote& played = shaped.performance.notes[i];
      const NoteLevel& level = shaped.levels[i];
      const auto written = [&](Beats at) { return music.score.tempo.seconds_at(at).value; };
      RC_ASSERT(std::abs(played.onset.value - written(note.onset)) < 1e-9);
      RC_ASSERT(played.end.value <= written(note.end) + 1e-9);
      if (is_shared_key(music, shaped, i)) continue;
      RC_ASSERT(played.velocity == velocity_at(level.ceiling + level.lift));
      if (is_struck_again(music, i)) continue;
      RC_ASSERT(std::abs(played.end.value - written(note.end)) < 1e-9);
      ++whole;
    }
  }));
  EXPECT_GT(whole, kCases / test::kShare);
}

// Notes of the part that a diminuendo of its line holds down: not where a block asks to swell, and
// not at its end where a louder mark stands.
std::vector<std::size_t> held_notes(const Music& music, std::size_t part, std::size_t stretch) {
  const DynamicLine& line = music.bound.dynamics[music.bound.parts[part].dynamics];
  const DynamicStretch& hairpin = line[stretch];
  BlockFinder finder(music.bound);
  std::vector<std::size_t> held;
  for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
    const Note& note = music.score.notes[i];
    if (note.part != part || note.onset < hairpin.from || note.onset > hairpin.to) continue;
    if (tuning_at(music.bound, finder.at(note.onset)).diminuendo == Diminuendo::kSwell) continue;
    const bool is_cut_off = note.onset == hairpin.to && stretch + 1 < line.size() &&
                            line[stretch + 1].from == hairpin.to &&
                            line[stretch + 1].begin_step > hairpin.end_step;
    if (!is_cut_off) held.push_back(i);
  }
  return held;
}

TEST(EveryPerformance, NeverGrowsInsideADiminuendo) {
  int held_down = 0;
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music();
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    for (std::size_t part = 0; part < music.score.parts.size(); ++part) {
      const DynamicLine& line = music.bound.dynamics[music.bound.parts[part].dynamics];
      for (std::size_t stretch = 0; stretch < line.size(); ++stretch) {
        if (!is_diminuendo(line[stretch])) continue;
        double lowest = 1e9;
        for (const std::size_t i : held_notes(music, part, stretch)) {
          RC_ASSERT(shaped.levels[i].arc_level.value <= lowest + 1e-9);
          lowest = std::min(lowest, shaped.levels[i].arc_level.value);
          ++held_down;
        }
      }
    }
  }));
  EXPECT_GT(held_down, kCases / test::kShare);
}

// The mean of what is withheld over a cell, by many small steps.
double mean_withheld(const std::vector<Withheld>& lines, Beats begin, Beats end) {
  constexpr int kSteps = 60;
  double sum = 0.0;
  for (int step = 0; step < kSteps; ++step) {
    const Beats at = begin + (end - begin) * ((step + 0.5) / kSteps);
    double most = 0.0;
    for (const Withheld& line : lines) most = std::max(most, line.at(at).value);
    sum += most;
  }
  return sum / kSteps;
}

TEST(EveryPerformance, TurnsWhatADiminuendoWithholdsIntoTime) {
  int broadened = 0;
  EXPECT_TRUE(holds(kCases / 5, [&] {
    const Music music = random_music();
    const std::vector<Beats> grid = time_grid(music.score, music.bound);
    const DynamicCurves curves = dynamic_curves(music.score, music.bound, grid, {});
    const std::vector<double> with =
        duration_factors(music.bound, music.score, grid, curves.withheld, {});
    const std::vector<double> without =
        duration_factors(music.bound, music.score, grid, std::vector<Withheld>(), {});
    const double per_decibel = music.bound.tuning().broadening_per_decibel();
    for (std::size_t i = 0; i + 1 < grid.size(); ++i) {
      // Cells outside all sentences are longer, and notes start inside them.
      if (!is_in_a_sentence(music, grid[i])) continue;
      const double mean = mean_withheld(curves.withheld, grid[i], grid[i + 1]);
      // Two hands' lines may cross within a cell: their larger is then not straight.
      RC_ASSERT(std::abs(with[i] - without[i] - per_decibel * mean) < 1e-9 + per_decibel * 0.05);
      if (mean > 0.1 && per_decibel > 0.0) {
        RC_ASSERT(with[i] > without[i]);
        ++broadened;
      }
    }
  }));
  EXPECT_GT(broadened, 100);
}

// `keep` is "bar", "phrase" or "sentence".
void check_kept(const std::string& keep) {
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music({.accents = true, .keep = keep});
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    std::vector<Beats> kept;
    if (keep == "bar") {
      for (const Bar& bar : music.score.bars.all()) kept.push_back(bar.span.begin);
    } else {
      const Level level = keep == "phrase" ? Level::kPhrase : Level::kSentence;
      for (const Block& block : music.bound.level(level)) {
        kept.insert(kept.end(), {block.span.begin, block.span.end});
      }
    }
    for (const Beats at : kept) {
      const double off =
          (shaped.performance.time.seconds_at(at) - music.score.tempo.seconds_at(at)).value;
      RC_ASSERT(std::abs(off) < 1e-9);
    }
  }));
}

TEST(EveryPerformance, MeetsTheMetronomeAtEverySentence) { check_kept("sentence"); }
TEST(EveryPerformance, MeetsTheMetronomeAtEveryPhrase) { check_kept("phrase"); }
TEST(EveryPerformance, MeetsTheMetronomeAtEveryBar) { check_kept("bar"); }

TEST(EveryPerformance, RunsForward) {
  EXPECT_TRUE(holds(kCases, [] {
    const std::string keep = *rc::gen::element<std::string>("off", "bar", "phrase", "sentence");
    const Music music = random_music({.fermatas = true, .closing = true, .keep = keep});
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    const std::span<const TimeMap::Knot> knots = shaped.performance.time.knots();
    RC_ASSERT(knots.front().beat.value == 0.0);
    RC_ASSERT(knots.front().second.value == 0.0);
    for (std::size_t i = 1; i < knots.size(); ++i) {
      RC_ASSERT(knots[i].beat > knots[i - 1].beat);
      RC_ASSERT(knots[i].second > knots[i - 1].second);
    }
  }));
}

TEST(EveryPerformance, NeverStrikesAKeyThatIsDown) {
  EXPECT_TRUE(holds(kCases, [] {
    Music music = random_music({.fermatas = true, .closing = true});
    // Half of the time both hands share a channel, so that they can meet on a key.
    if (test::any(0, 2) == 0) music.score.parts[1].channel = music.score.parts[0].channel;
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    std::map<std::pair<int, int>, std::vector<PerformedNote>> keys;
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const PerformedNote& played = shaped.performance.notes[i];
      RC_ASSERT(played.onset.value >= 0.0);
      RC_ASSERT(std::isfinite(played.end.value));
      if (!played.sounds) continue;
      RC_ASSERT(played.end > played.onset);
      const Note& note = music.score.notes[i];
      keys[{music.score.parts[note.part].channel, note.key}].push_back(played);
    }
    for (auto& [key, row] : keys) {
      std::ranges::sort(row, {}, &PerformedNote::onset);
      for (std::size_t i = 1; i < row.size(); ++i) RC_ASSERT(row[i - 1].end <= row[i].onset);
    }
  }));
}

TEST(EveryPerformance, IsTheSameForTheSameInput) {
  EXPECT_TRUE(holds(kCases, [] {
    const Music music = random_music({.fermatas = true, .closing = true});
    const Layers layers = random_layers();
    const Shaped a = perform(music.score, music.bound, layers);
    const Shaped b = perform(music.score, music.bound, layers);
    for (std::size_t i = 0; i < a.performance.notes.size(); ++i) {
      RC_ASSERT(a.performance.notes[i].onset == b.performance.notes[i].onset);
      RC_ASSERT(a.performance.notes[i].end == b.performance.notes[i].end);
      RC_ASSERT(a.performance.notes[i].velocity == b.performance.notes[i].velocity);
    }
  }));
}

TEST(LongPerformance, MeetsTheMetronomeAfterTwoThousandBars) {
  test::ScoreText text;
  text.parts = {test::repeated("C5 D5 E5 F5", 2000), test::repeated("C3/4", 2000)};
  for (int i = 0; i < 200; ++i) text.tempo.push_back({{i * 37.5}, 400'000 + i * 1'777});
  const Score score = test::score_of(text);
  std::string plan =
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: r, track: 1, role: melody}\n"
      "  - {name: l, track: 2, role: bass}\nmotif: {length: 1 bar, from: 1:4}\nsentences:\n"
      "  - {phrases: [u / u, / u u], main: 2}\n";
  for (int i = 1; i < 333; ++i) plan += "  - {like: 1}\n";
  const Result<Plan> read = parse_plan(plan, "p.yaml");
  ASSERT_TRUE(read);
  const Result<BoundPlan> bound = bind_plan(*read, score);
  ASSERT_TRUE(bound) << to_string(bound.diagnostics().front());
  ASSERT_EQ(bound->sentences.size(), 333u);
  const Shaped shaped = perform(score, *bound);
  double worst = 0.0;
  double widest = 0.0;  // within sentences the two do part
  for (const Block& sentence : bound->sentences) {
    const auto off = [&](Beats at) {
      return std::abs((shaped.performance.time.seconds_at(at) - score.tempo.seconds_at(at)).value);
    };
    worst = std::max(worst, off(sentence.span.begin));
    widest = std::max(widest, off(sentence.span.begin + Beats{3.0}));
  }
  EXPECT_LT(worst, 1e-9);
  EXPECT_GT(widest, 0.01);
}

}  // namespace
}  // namespace arsis
