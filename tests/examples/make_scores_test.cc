// The demo scores: the kept files are those that the generator makes, and the ready plans fit them.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string>
#include <tuple>
#include <vector>

#include "base/files.h"
#include "notation.h"
#include "pieces.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "smf/midi_file.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

const std::filesystem::path kRoot = ARSIS_SOURCE_DIR;
constexpr std::size_t kLargestScore = 1'000'000;  // bytes; the demo scores have some thousands
constexpr std::array kPlans = {"lantern-song", "lantern-song-other", "ferry-study", "mill-round"};

std::string all_of(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) text += to_string(diagnostic) + '\n';
  return text;
}

// A note as (tick, key, whether it begins there).
using Struck = std::tuple<std::int64_t, int, bool>;

TEST(Notation, ReadsNotesChordsRestsAndLengths) {
  MidiFile file;
  file.tracks.resize(1);
  const std::int64_t end =
      demo::append_music(file, 0, 1, 100, "c4:1 /4 [f#4 bb4] r | [d5 g5]:1/2 b3:3/2");
  EXPECT_EQ(end, 100 + 480 + 120 + 120 + 240 + 720);
  const std::vector<Struck> expected = {{100, 60, true},   {580, 60, false}, {580, 66, true},
                                        {580, 70, true},   {700, 66, false}, {700, 70, false},
                                        {820, 74, true},   {820, 79, true},  {1060, 74, false},
                                        {1060, 79, false}, {1060, 59, true}, {1780, 59, false}};
  std::vector<Struck> found;
  for (const MidiEvent& event : file.tracks[0].events) {
    const auto bytes = file.bytes_of(event);
    EXPECT_EQ(bytes[0] & 0x0F, 1);
    const bool on = (bytes[0] & 0xF0) == 0x90;
    EXPECT_EQ(bytes[2], on ? demo::kVelocity : 64);
    found.emplace_back(event.tick, bytes[1], on);
  }
  EXPECT_EQ(found, expected);
}

TEST(Notation, StopsAtAWordThatIsNoMusic) {
  for (const char* text : {"h4:1", "c:1", "c4:x", "[c4 e4", "[c4 x]:1"}) {
    SCOPED_TRACE(text);
    MidiFile file;
    file.tracks.resize(1);
    EXPECT_EXIT(demo::append_music(file, 0, 0, 0, text), testing::ExitedWithCode(1), "no music");
  }
}

TEST(DemoScores, AreKeptAsTheGeneratorMakesThem) {
  ASSERT_EQ(demo::pieces().size(), 3u);
  for (const demo::Piece& piece : demo::pieces()) {
    SCOPED_TRACE(piece.file);
    const Result<Bytes> made = write_midi(piece.make(), std::string(piece.file));
    ASSERT_TRUE(made) << all_of(made.diagnostics());
    const Result<Bytes> kept = read_file(kRoot / "examples" / piece.file, kLargestScore);
    ASSERT_TRUE(kept) << all_of(kept.diagnostics());
    EXPECT_TRUE(*made == *kept) << "make_scores examples writes it anew";
  }
}

TEST(DemoScores, AreReadWithoutADoubt) {
  for (const demo::Piece& piece : demo::pieces()) {
    SCOPED_TRACE(piece.file);
    const Result<Score> score = score_of(piece.make(), std::string(piece.file));
    ASSERT_TRUE(score) << all_of(score.diagnostics());
    EXPECT_EQ(all_of(score.diagnostics()), "");
    ASSERT_EQ(score->parts.size(), 2u);
    EXPECT_EQ(score->parts[0].name, "right hand");
    EXPECT_EQ(score->parts[1].name, "left hand");
    EXPECT_EQ(score->bars.all().front().number, 0) << "each begins with an upbeat";
    for (const Note& note : score->notes) ASSERT_EQ(note.velocity.value(), demo::kVelocity);
  }
}

// What one pair of hands can do: our choice of a tenth as the widest stretch.
TEST(DemoScores, LieWithinAHand) {
  constexpr int kTenth = 16;  // semitones
  for (const demo::Piece& piece : demo::pieces()) {
    const Result<Score> score = score_of(piece.make(), std::string(piece.file));
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

Result<Laid> laid(const std::string& name) {
  const Result<Plan> plan = read_plan(kRoot / "plans" / (name + ".yaml"));
  if (!plan || !plan.diagnostics().empty()) return plan.diagnostics();
  const Result<Score> read = read_score(score_path(*plan));
  if (!read) return read.diagnostics();
  Score score = with_plan_pickup(*read, *plan);
  Result<BoundPlan> bound = bind_plan(*plan, score);
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
