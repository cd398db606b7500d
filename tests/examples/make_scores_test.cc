// The demo scores: the kept files are those that the generator makes, and the ready plans fit them.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string>
#include <tuple>
#include <vector>

#include "base/files.h"
#include "musicxml/score_reader.h"
#include "notation.h"
#include "piece.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "smf/midi_file.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

const std::filesystem::path kRoot = ARSIS_SOURCE_DIR;
constexpr std::size_t kLargestScore = 1'000'000;  // bytes; the demo scores have some thousands
constexpr std::array kPlans = {"lantern-song", "lantern-song-other", "lantern-song-page",
                               "ferry-study", "mill-round"};

std::string all_of(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) text += to_string(diagnostic) + '\n';
  return text;
}

// 4/4 after an upbeat of a quarter note.
constexpr Meter kFourFour{kTicksPerQuarter, 4 * kTicksPerQuarter};

TEST(Notation, ReadsNotesChordsRestsAndLengths) {
  const Result<Voice> voice =
      read_notation("c4:1 | [f#4 bb4]:1/4 r d5:1/2 b3:3/2 p:3/2 |", kFourFour, "test");
  ASSERT_TRUE(voice) << all_of(voice.diagnostics());
  EXPECT_EQ(voice->end, 5 * kTicksPerQuarter);
  using Word = std::tuple<std::int64_t, std::int64_t, std::vector<int>>;
  const std::vector<Word> expected = {
      {0, 480, {60}}, {480, 120, {66, 70}}, {720, 240, {74}}, {960, 720, {59}}, {1680, 720, {}}};
  std::vector<Word> found;
  for (const Struck& struck : voice->struck) {
    found.emplace_back(struck.tick, struck.length, struck.keys);
  }
  EXPECT_EQ(found, expected);
}

TEST(Notation, NamesWhatIsNoMusic) {
  struct Row {
    const char* text;
    const char* message;
  };
  constexpr Row kRows[] = {
      {"h4:1", "test: bar 0: 'h4:1' is no note; a note such as f#5, [c4 e4], r or p"},
      {"c4:1 | [c4 x]:1",
       "test: bar 1: '[c4 x]:1' is no note; a note such as f#5, [c4 e4], r or p"},
      {"c4", "test: bar 0: 'c4' has no length; give the first word one, such as c4:1"},
      {"c4:17",
       "test: bar 0: 'c4:17' is of no length that can be written; 1, 1/2, 3/2 ... up to 16"},
      {"c4:1/7",
       "test: bar 0: 'c4:1/7' is of no length that can be written; 1, 1/2, 3/2 ... up to 16"},
      {"c4:1 | d4:3 |",
       "test: bar 1: '|' stands 1440 ticks after a bar line; mend the bar before it"}};
  for (const auto& [text, message] : kRows) {
    SCOPED_TRACE(text);
    const Result<Voice> voice = read_notation(text, kFourFour, "test");
    EXPECT_FALSE(voice);
    EXPECT_EQ(all_of(voice.diagnostics()), std::string(message) + '\n');
  }
}

TEST(Notation, RefusesAKeyThatIsHeldAndVoicesThatEndApart) {
  const Piece piece{"test.mid", "Test", 60, {4, 4, 0}, {}, {"c4:4", "r:1 c4:1"}, {"r:4"}, ""};
  const Result<MidiFile> file = midi_of(piece);
  ASSERT_FALSE(file);
  EXPECT_EQ(
      all_of(file.diagnostics()),
      "test.mid, right hand: ends at tick 960, the first voice at 1920; fill both with rests\n"
      "test.mid: right hand, tick 480: key 60 is struck while it is held; shorten the note "
      "before\n");
}

TEST(DemoScores, AreKeptAsTheGeneratorMakesThem) {
  ASSERT_EQ(demo_pieces().size(), 3u);
  for (const Piece& piece : demo_pieces()) {
    SCOPED_TRACE(piece.file);
    const Result<Bytes> made = midi_bytes_of(piece);
    ASSERT_TRUE(made) << all_of(made.diagnostics());
    const Result<Bytes> kept = read_file(kRoot / "examples" / piece.file, kLargestScore);
    ASSERT_TRUE(kept) << all_of(kept.diagnostics());
    EXPECT_TRUE(*made == *kept) << "make_scores examples writes it anew";
  }
}

TEST(DemoScores, AreReadWithoutADoubt) {
  for (const Piece& piece : demo_pieces()) {
    SCOPED_TRACE(piece.file);
    const Result<Score> score = score_of(*midi_of(piece), std::string(piece.file));
    ASSERT_TRUE(score) << all_of(score.diagnostics());
    EXPECT_EQ(all_of(score.diagnostics()), "");
    ASSERT_EQ(score->parts.size(), 2u);
    EXPECT_EQ(score->parts[0].name, "right hand");
    EXPECT_EQ(score->parts[1].name, "left hand");
    for (const Note& note : score->notes) ASSERT_EQ(note.velocity.value(), 80);
  }
}

// What one pair of hands can do: our choice of a tenth as the widest stretch.
TEST(DemoScores, LieWithinAHand) {
  constexpr int kTenth = 16;  // semitones
  for (const Piece& piece : demo_pieces()) {
    const Result<Score> score = score_of(*midi_of(piece), std::string(piece.file));
    ASSERT_TRUE(score);
    for (const Note& at : score->notes) {
      std::array<int, 2> low = {127, 127};
      std::array<int, 2> high = {0, 0};
      for (const Note& note : score->notes) {
        if (note.onset > at.onset || note.end <= at.onset) continue;
        low[note.part] = std::min<int>(low[note.part], note.key);
        high[note.part] = std::max<int>(high[note.part], note.key);
      }
      const std::string place =
          std::string(piece.file) + " " + to_string(score->bars.position_of(at.onset));
      EXPECT_LE(high[0] - low[0], kTenth) << place;
      EXPECT_LE(high[1] - low[1], kTenth) << place;
      EXPECT_LT(high[1], low[0]) << place << ": the hands meet on a key";
    }
  }
}

struct Laid {
  Score score;
  BoundPlan bound;
};

Result<PrintedScore> read_either(const std::filesystem::path& path) {
  if (is_musicxml(path)) return read_musicxml(path);
  Result<Score> score = read_score(path);
  if (!score) return score.diagnostics();
  return {{*std::move(score), {}}, score.diagnostics()};
}

Result<Laid> laid(const std::string& name) {
  const Result<Plan> plan = read_plan(kRoot / "plans" / (name + ".yaml"));
  if (!plan || !plan.diagnostics().empty()) return plan.diagnostics();
  const Result<PrintedScore> read = read_either(score_path(*plan));
  if (!read || !read.diagnostics().empty()) return read.diagnostics();
  Score score = with_plan_pickup(read->score, *plan);
  Result<BoundPlan> bound = bind_plan(*plan, score, read->printed);
  if (!bound || !bound.diagnostics().empty()) return bound.diagnostics();
  return Laid{std::move(score), *std::move(bound)};
}

// Without a doubt: every note in a block, two or three members to each, all motifs over a bar line.
TEST(DemoPlans, FitTheirScoresWithoutADoubt) {
  for (const char* name : kPlans) {
    const Result<Laid> plan = laid(name);
    EXPECT_TRUE(plan) << name << '\n' << all_of(plan.diagnostics());
  }
}

TEST(DemoPlans, ReachFromTheFirstNoteToTheLast) {
  for (const char* name : kPlans) {
    SCOPED_TRACE(name);
    const Result<Laid> plan = laid(name);
    ASSERT_TRUE(plan);
    EXPECT_EQ(plan->bound.motifs.front().span.begin, plan->score.notes.front().onset);
    EXPECT_EQ(plan->bound.motifs.back().span.end, plan->score.end());
    for (std::size_t i = 1; i < plan->bound.motifs.size(); ++i) {
      EXPECT_EQ(plan->bound.motifs[i].span.begin, plan->bound.motifs[i - 1].span.end);
    }
  }
}

TEST(DemoPlans, LeadEveryMotifOverAtLeastOneInterval) {
  for (const char* name : kPlans) {
    const Result<Laid> plan = laid(name);
    ASSERT_TRUE(plan) << name;
    for (const Block& motif : plan->bound.motifs) {
      const auto within = std::ranges::count_if(plan->bound.melody, [&](std::size_t note) {
        return motif.span.holds(plan->score.notes[note].onset);
      });
      EXPECT_GE(within, 2) << name << " "
                           << to_string(plan->score.bars.position_of(motif.span.begin));
    }
  }
}

// The song is engraved as the MIDI file has it: by part, onset, key and end.
TEST(DemoPage, HasTheNotesOfTheSong) {
  using Row = std::tuple<std::string, double, int, double>;
  const auto rows = [](const Score& score) {
    std::vector<Row> all;
    for (const Note& note : score.notes) {
      all.emplace_back(score.parts[note.part].name, note.onset.value, note.key, note.end.value);
    }
    std::ranges::sort(all);
    return all;
  };
  const auto song = laid("lantern-song");
  const auto page = laid("lantern-song-page");
  ASSERT_TRUE(song);
  ASSERT_TRUE(page) << all_of(page.diagnostics());
  EXPECT_EQ(rows(page->score), rows(song->score));
}

// What the plan of the MIDI file says of its dynamics and marks is printed on the page.
TEST(DemoPage, PrintsWhatThePlanOfTheSongSays) {
  const auto song = laid("lantern-song");
  const auto page = laid("lantern-song-page");
  ASSERT_TRUE(song);
  ASSERT_TRUE(page);
  ASSERT_EQ(song->bound.dynamics.size(), page->bound.dynamics.size());
  // A hairpin to a mark is one entry in a plan; on a page the mark stands by itself, too.
  const auto hairpins = [](const DynamicLine& line) {
    std::vector<std::tuple<double, double, int, int>> all;
    for (const DynamicStretch& each : line) {
      if (!each.is_hairpin()) continue;
      all.emplace_back(each.from.value, each.to.value, each.begin_step, each.end_step);
    }
    return all;
  };
  EXPECT_EQ(hairpins(page->bound.dynamics[0]), hairpins(song->bound.dynamics[0]));
  EXPECT_EQ(page->bound.dynamics[0].front().end_step, song->bound.dynamics[0].front().end_step);
  EXPECT_TRUE(std::ranges::equal(song->bound.sentences, page->bound.sentences, {}, &Block::goal,
                                 &Block::goal));
}

TEST(DemoPlans, ReadOneSongTwoWays) {
  const Result<Laid> one = laid("lantern-song");
  const Result<Laid> other = laid("lantern-song-other");
  ASSERT_TRUE(one);
  ASSERT_TRUE(other);
  ASSERT_EQ(one->bound.motifs.size(), other->bound.motifs.size());
  for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
    const std::vector<Block>& blocks = one->bound.level(level);
    const std::vector<Block>& others = other->bound.level(level);
    ASSERT_EQ(blocks.size(), others.size()) << name_of(level);
    EXPECT_TRUE(std::ranges::equal(blocks, others, {}, &Block::span, &Block::span))
        << name_of(level);
  }
  EXPECT_FALSE(std::ranges::equal(one->bound.sentences, other->bound.sentences, {}, &Block::goal,
                                  &Block::goal));
  ASSERT_FALSE(one->bound.dynamics.empty());
  ASSERT_EQ(one->bound.dynamics[0].size(), other->bound.dynamics[0].size());
  for (std::size_t i = 0; i < one->bound.dynamics[0].size(); ++i) {
    EXPECT_EQ(one->bound.dynamics[0][i].from, other->bound.dynamics[0][i].from);
    EXPECT_EQ(one->bound.dynamics[0][i].end_step, other->bound.dynamics[0][i].end_step);
  }
}

}  // namespace
}  // namespace arsis
