// What must hold for every score, every plan and every choice of layers.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "property.h"
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

constexpr int kCases = 10'000;

// Strikes closer than this sound as one note (part_keys), as loud as the louder.
constexpr double kTogether = 0.005;

bool is_on_melody_line(const Music& music, std::size_t note) {
  return std::ranges::binary_search(music.bound.melody, note);
}

// Whether a written diminuendo holds the note down: its line withholds something there.
bool in_diminuendo(const Music& music, const Note& note) {
  const DynamicLine& line = music.bound.dynamics[music.bound.parts[note.part].dynamics];
  return std::ranges::any_of(line, [&](const DynamicStretch& stretch) {
    return stretch.falls && stretch.from <= note.onset && note.onset <= stretch.to;
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
    if (std::abs(apart) < kTogether) return true;
  }
  return false;
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
      for (const std::size_t i : music.bound.melody) {
        const Note& note = music.score.notes[i];
        if (note.onset != sentence.goal || in_diminuendo(music, note)) continue;
        RC_ASSERT(std::abs((shaped.levels[i].arc_level - shaped.levels[i].ceiling).value) < 1e-9);
        ++reached;
      }
    }
  }));
  EXPECT_GT(reached, kCases / test::kShare);  // the property was about something
}

TEST(EveryPerformance, IsFlatAtAmountNought) {
  EXPECT_TRUE(holds(kCases, [] {
    const Music music = random_music({.closing = true});
    Layers layers;
    layers.amount = 0.0;
    layers.touch = test::any(0, 2) == 0;
    const Shaped shaped = perform(music.score, music.bound, layers);
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const Note& note = music.score.notes[i];
      const PerformedNote& played = shaped.performance.notes[i];
      const bool melody = is_on_melody_line(music, i);
      if (melody || !layers.touch) {
        RC_ASSERT(shaped.levels[i].arc_level == shaped.levels[i].ceiling);
        if (shaped.levels[i].lift.value == 0.0) {
          RC_ASSERT(std::abs((shaped.levels[i].level - shaped.levels[i].ceiling).value) < 1e-9);
        }
      }
      const double late = (played.onset - music.score.tempo.seconds_at(note.onset)).value;
      // Only the accompaniment may be late, by the melody's lead.
      const bool may_wait = layers.touch && note.part == 1;
      RC_ASSERT(late >= -1e-9);
      RC_ASSERT(late <= (may_wait ? 0.040 : 0.0) + 1e-9);
    }
  }));
}

TEST(EveryPerformance, NeverGrowsInsideADiminuendo) {
  int withheld = 0;
  EXPECT_TRUE(holds(kCases, [&] {
    const Music music = random_music();
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    for (std::size_t part = 0; part < music.score.parts.size(); ++part) {
      const DynamicLine& line = music.bound.dynamics[music.bound.parts[part].dynamics];
      for (const DynamicStretch& stretch : line) {
        if (!stretch.falls) continue;
        double lowest = 1e9;
        for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
          const Note& note = music.score.notes[i];
          if (note.part != part || note.onset < stretch.from || note.onset > stretch.to) continue;
          RC_ASSERT(shaped.levels[i].arc_level.value <= lowest + 1e-9);
          lowest = std::min(lowest, shaped.levels[i].arc_level.value);
          ++withheld;
        }
      }
    }
  }));
  EXPECT_GT(withheld, kCases / test::kShare);
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
      const auto rise = [&](Beats at) {
        double most = 0.0;
        for (const Withheld& line : curves.withheld) most = std::max(most, line.at(at).value);
        return most;
      };
      const double begin = rise(grid[i]);
      const double middle = rise(grid[i] + (grid[i + 1] - grid[i]) * 0.5);
      const double end = rise(grid[i + 1]);
      RC_ASSERT(std::abs(with[i] - without[i] - per_decibel * (begin + 4 * middle + end) / 6) <
                1e-9);
      if (middle > 0.1) ++broadened;
    }
  }));
  EXPECT_GT(broadened, 100);
}

void check_kept(const char* keep, int cases) {
  EXPECT_TRUE(holds(cases, [&] {
    const Music music = random_music({.accents = true, .keep = keep});
    const Shaped shaped = perform(music.score, music.bound, random_layers());
    std::vector<Beats> kept;
    if (keep == std::string("bar")) {
      for (const Bar& bar : music.score.bars.all()) kept.push_back(bar.span.begin);
    } else {
      const Level level = keep == std::string("phrase") ? Level::kPhrase : Level::kSentence;
      for (const Block& block : music.bound.level(level)) kept.push_back(block.span.begin);
    }
    for (const Beats at : kept) {
      const double off =
          (shaped.performance.time.seconds_at(at) - music.score.tempo.seconds_at(at)).value;
      RC_ASSERT(std::abs(off) < 1e-6);
    }
  }));
}

TEST(EveryPerformance, MeetsTheMetronomeAtEverySentence) { check_kept("sentence", kCases); }
TEST(EveryPerformance, MeetsTheMetronomeAtEveryPhrase) { check_kept("phrase", kCases / 5); }
TEST(EveryPerformance, MeetsTheMetronomeAtEveryBar) { check_kept("bar", kCases / 5); }

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
  EXPECT_TRUE(holds(kCases / 10, [] {
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
  EXPECT_LT(worst, 1e-6);
  EXPECT_GT(widest, 0.01);
}

}  // namespace
}  // namespace arsis
