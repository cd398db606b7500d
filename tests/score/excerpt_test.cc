// A stretch of a performance: its bars, its time, its notes, its click.
#include "score/excerpt.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "message_builder.h"
#include "score/played.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::played;

// "1:0-4 2:4-8": numbers and stretches of the bars.
std::string bars_text(const Score& score) {
  std::string text;
  for (const Bar& bar : score.bars.all()) {
    text += fmt::format("{}{}:{}-{}", text.empty() ? "" : " ", bar.number,
                        short_number(bar.span.begin.value), short_number(bar.span.end.value));
  }
  return text;
}

// "0:3/4 2:4/4": as the messages say, which must be what the score's own list says.
std::string signatures_text(const Score& score) {
  std::string text;
  std::size_t count = 0;
  for (const Message& message : score.messages) {
    const auto bytes = score.bytes_of(message);
    if (bytes.size() != 6 || bytes[0] != 0xFF || bytes[1] != 0x58) continue;
    const TimeSignature said = {bytes[2], 1 << bytes[3]};
    EXPECT_EQ(score.signatures.at(count).signature, said);
    EXPECT_EQ(score.signatures.at(count++).at.value, message.at.value);
    text += fmt::format("{}{}:{}/{}", text.empty() ? "" : " ", short_number(message.at.value),
                        said.beats, said.beat_unit);
  }
  EXPECT_EQ(count, score.signatures.size());
  return text;
}

struct PassageRow {
  const char* name;
  std::vector<TimeSignatureChange> signatures;
  std::optional<Beats> pickup;
  Span span;
  int count_in;
  const char* bars;
  const char* signatures_text;
  double entry;
};

const std::vector<TimeSignatureChange> kCommon = {{{0.0}, {4, 4}}};
const std::vector<TimeSignatureChange> kCut = {{{0.0}, {4, 4}}, {{6.0}, {3, 4}}};
const std::vector<TimeSignatureChange> kChanging = {
    {{0.0}, {4, 4}}, {{8.0}, {6, 8}}, {{11.0}, {2, 4}}};

const PassageRow kPassages[] = {
    {"bars", kCommon, {}, {{4.0}, {12.0}}, 0, "1:0-4 2:4-8", "0:4/4", 0.0},
    {"bars, counted in",
     kCommon,
     {},
     {{4.0}, {12.0}},
     2,
     "1:0-4 2:4-8 3:8-12 4:12-16",
     "0:4/4",
     8.0},
    {"from within a bar", kCommon, {}, {{5.0}, {12.0}}, 0, "0:0-3 1:3-7", "0:3/4 3:4/4", 0.0},
    {"from within a bar, counted in",
     kCommon,
     {},
     {{5.0}, {12.0}},
     1,
     "1:0-4 2:4-8 3:8-12",
     "0:4/4",
     5.0},
    {"from an off-beat",
     kCommon,
     {},
     {{5.5}, {12.0}},
     0,
     "0:0-2.5 1:2.5-6.5",
     "0:5/8 2.5:4/4",
     0.0},
    {"within one bar", kCommon, {}, {{5.0}, {6.0}}, 0, "1:0-3", "0:3/4", 0.0},
    {"from a place that no signature can say",
     kCommon,
     {},
     {{4.0 + 4.0 / 3.0}, {12.0}},
     0,
     "1:0-2.667 2:2.667-6.667",
     "0:4/4 2.667:4/4",
     0.0},
    {"such a place, counted in",
     kCommon,
     {},
     {{4.0 + 4.0 / 3.0}, {12.0}},
     1,
     "1:0-4 2:4-8 3:8-12",
     "0:4/4",
     4.0 + 4.0 / 3.0},
    {"such a place within one bar",
     kCommon,
     {},
     {{4.0 + 4.0 / 3.0}, {6.0}},
     0,
     "1:0-4",
     "0:4/4",
     0.0},
    {"a pickup that the plan says",
     kCommon,
     Beats{1.0},
     {{0.0}, {9.0}},
     0,
     "0:0-1 1:1-5 2:5-9",
     "0:1/4 1:4/4",
     0.0},
    {"such a pickup, counted in",
     kCommon,
     Beats{1.0},
     {{0.0}, {9.0}},
     1,
     "1:0-4 2:4-8 3:8-12 4:12-16",
     "0:4/4",
     7.0},
    {"after such a pickup", kCommon, Beats{1.0}, {{1.0}, {9.0}}, 0, "1:0-4 2:4-8", "0:4/4", 0.0},
    {"a pickup that the signatures say",
     {{{0.0}, {1, 4}}, {{1.0}, {4, 4}}},
     {},
     {{0.0}, {9.0}},
     0,
     "0:0-1 1:1-5 2:5-9",
     "0:1/4 1:4/4",
     0.0},
    {"a bar that is cut short",
     kCut,
     {},
     {{4.0}, {12.0}},
     0,
     "1:0-2 2:2-5 3:5-8",
     "0:4/4 2:3/4",
     0.0},
    {"from within it", kCut, {}, {{5.0}, {12.0}}, 0, "0:0-1 1:1-4 2:4-7", "0:1/4 1:3/4", 0.0},
    {"from within it, counted in",
     kCut,
     {},
     {{5.0}, {12.0}},
     1,
     "1:0-4 2:4-6 3:6-9 4:9-12",
     "0:4/4 6:3/4",
     5.0},
    {"changing signatures",
     kChanging,
     {},
     {{4.0}, {13.0}},
     0,
     "1:0-4 2:4-7 3:7-9",
     "0:4/4 4:6/8 7:2/4",
     0.0},
    {"begun after a change",
     kChanging,
     {},
     {{8.0}, {13.0}},
     1,
     "1:0-3 2:3-6 3:6-8",
     "0:6/8 6:2/4",
     3.0},
    {"within a compound bar",
     kChanging,
     {},
     {{9.5}, {13.0}},
     0,
     "0:0-1.5 1:1.5-3.5",
     "0:3/8 1.5:2/4",
     0.0},
};

TEST(Excerpt, HasItsBarsWhereTheScoreHasThem) {
  for (const PassageRow& row : kPassages) {
    SCOPED_TRACE(row.name);
    test::ScoreText text;
    text.parts = {test::repeated("C5/0.25", 64)};
    text.signatures = row.signatures;
    text.pickup = row.pickup;
    const Score score = test::score_of(text);
    const Excerpt excerpt =
        excerpt_of(score, played(score), {.span = row.span, .count_in = row.count_in});
    EXPECT_EQ(bars_text(excerpt.score), row.bars);
    EXPECT_EQ(signatures_text(excerpt.score), row.signatures_text);
    EXPECT_DOUBLE_EQ(excerpt.entry.value, row.entry);
    EXPECT_DOUBLE_EQ(excerpt.moved.value, row.entry - row.span.begin.value);
  }
}

// Time that bends within and around the span.
TimeMap bent() {
  return TimeMap({{{0.0}, {0.5}},
                  {{3.0}, {2.0}},
                  {{4.5}, {3.1}},
                  {{7.25}, {4.0}},
                  {{9.0}, {6.2}},
                  {{16.0}, {9.0}}});
}

TEST(Excerpt, KeepsThePerformancesTime) {
  const Score score = test::score_of(test::repeated("C5/0.5", 32));
  const Performance whole = played(score, bent());
  for (const int count_in : {0, 1}) {
    const Excerpt excerpt =
        excerpt_of(score, whole, {.span = {{4.0}, {10.0}}, .count_in = count_in});
    const auto clicks = static_cast<std::size_t>(4 * count_in);
    ASSERT_EQ(excerpt.score.notes.size(), clicks + 12);
    const Seconds first = excerpt.performance.notes[clicks].onset;
    EXPECT_NEAR(first.value, count_in * 4 * 0.5, 1e-9);  // counted at the score's 120 a minute
    for (std::size_t i = clicks; i < clicks + 12; ++i) {
      const PerformedNote& here = excerpt.performance.notes[i];
      const PerformedNote& there = whole.notes[i - clicks + 8];
      EXPECT_NEAR((here.onset - first).value, (there.onset - whole.notes[8].onset).value, 1e-9);
      EXPECT_NEAR((here.end - here.onset).value, (there.end - there.onset).value, 1e-9);
      EXPECT_NEAR(here.onset.value,
                  excerpt.performance.time.seconds_at(excerpt.score.notes[i].onset).value, 1e-9);
    }
  }
}

TEST(Excerpt, CountsInAtTheScoresTempoOfTheEntry) {
  test::ScoreText text;
  text.parts = {test::repeated("C5", 16)};
  text.tempo = {{{0.0}, 400'000}, {{4.0}, 600'000}, {{6.0}, 800'000}, {{12.0}, 300'000}};
  const Score score = test::score_of(text);
  const Excerpt excerpt =
      excerpt_of(score, played(score), {.span = {{5.0}, {12.0}}, .count_in = 1});
  EXPECT_NEAR(excerpt.performance.notes[5].onset.value, 5 * 0.6, 1e-9);  // after five clicks
  ASSERT_EQ(excerpt.score.tempo.changes().size(), 2u);
  EXPECT_EQ(excerpt.score.tempo.changes()[0].microseconds_per_quarter, 600'000);
  EXPECT_EQ(excerpt.score.tempo.changes()[1].at.value, 6.0);  // at beat 6, moved by 0
  EXPECT_EQ(excerpt.score.tempo.changes()[1].microseconds_per_quarter, 800'000);
}

TEST(Excerpt, CutsNotesAtItsEndAndLeavesOutWhatBeganBefore) {
  const Score score = test::score_of("C5/5 D5/1 E5/9");
  const Excerpt excerpt = excerpt_of(score, played(score), {.span = {{4.0}, {8.0}}});
  ASSERT_EQ(excerpt.score.notes.size(), 2u);
  EXPECT_EQ(excerpt.score.notes[0].key, test::key_of("D5"));
  EXPECT_EQ(excerpt.score.notes[0].end.value, 2.0);
  EXPECT_EQ(excerpt.score.notes[1].end.value, 4.0);
  EXPECT_DOUBLE_EQ(excerpt.performance.notes[1].end.value, 2.0);
  EXPECT_EQ(excerpt.score.tracks[0].end.value, 4.0);
}

TEST(Excerpt, CutsANoteThatSoundsForALongerOneOfItsKey) {
  test::ScoreText text;
  text.parts = {"C5/4 C5/2", "C5/4 C5/8"};
  Score score = test::score_of(text);
  score.parts[1].channel = 0;  // both hands on one key
  Performance performance = played(score);
  performance.notes[2].end = performance.notes[3].end;
  performance.notes[3].sounds = false;
  const Excerpt excerpt = excerpt_of(score, performance, {.span = {{4.0}, {7.0}}});
  ASSERT_EQ(excerpt.score.notes.size(), 2u);
  EXPECT_DOUBLE_EQ(excerpt.performance.notes[0].end.value, 1.5);
}

TEST(Excerpt, LeavesSomethingOfANoteThatIsStruckAfterItsEnd) {
  const Score score = test::score_of("C5/3 D5/2");
  Performance performance = played(score);
  performance.notes[1].onset = {2.1};
  const Excerpt excerpt = excerpt_of(score, performance, {.span = {{0.0}, {4.0}}});
  EXPECT_DOUBLE_EQ(excerpt.performance.notes[1].onset.value, 2.1);
  EXPECT_GT(excerpt.performance.notes[1].end, excerpt.performance.notes[1].onset);
}

TEST(Excerpt, NeverBeginsBeforeItsTimeThoughANoteIsStruckEarly) {
  const Score score = test::score_of("C5/4 D5 E5");
  Performance performance = played(score);
  performance.notes[1].onset = {1.97};
  const Excerpt at_once = excerpt_of(score, performance, {.span = {{4.0}, {6.0}}});
  EXPECT_DOUBLE_EQ(at_once.performance.notes[0].onset.value, 0.0);
  EXPECT_NEAR(at_once.performance.notes[1].onset.value, 0.53, 1e-12);
  EXPECT_NEAR(at_once.performance.time.seconds_at({0.0}).value, 0.03, 1e-12);
  const Excerpt counted = excerpt_of(score, performance, {.span = {{4.0}, {6.0}}, .count_in = 1});
  EXPECT_NEAR(counted.performance.notes[4].onset.value, 1.97, 1e-12);  // after four clicks
  EXPECT_DOUBLE_EQ(counted.performance.time.seconds_at({0.0}).value, 0.0);
}

TEST(Excerpt, OfTheWholePieceIsThePiece) {
  test::ScoreText text;
  text.parts = {"C5 D5/2 E5/0.5 r/0.5 C4+E4!90", "C3/4 D3"};
  text.names = {"upper", "lower"};
  text.signatures = {{{0.0}, {3, 4}}};
  text.tempo = {{{0.0}, 400'000}, {{2.0}, 700'000}};
  Score score = test::score_of(text);
  score.title = "Harbour Steps";
  test::add_message(score, 0.0, 0, {0xC0, 5});
  test::add_message(score, 1.0, 1, {0xB1, 7, 90});
  const Performance performance = played(score);
  const Excerpt excerpt = excerpt_of(score, performance, {.span = {{0.0}, {6.0}}});
  EXPECT_EQ(excerpt.score.title, score.title);
  EXPECT_EQ(excerpt.score.file, score.file);
  EXPECT_EQ(excerpt.score.division, score.division);
  EXPECT_EQ(bars_text(excerpt.score), bars_text(score));
  ASSERT_EQ(excerpt.score.parts.size(), 2u);
  EXPECT_EQ(excerpt.score.parts[1].name, "lower");
  ASSERT_EQ(excerpt.score.tempo.changes().size(), 2u);
  ASSERT_EQ(excerpt.score.notes.size(), score.notes.size());
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    EXPECT_EQ(excerpt.score.notes[i].onset, score.notes[i].onset);
    EXPECT_EQ(excerpt.score.notes[i].end, score.notes[i].end);
    EXPECT_EQ(excerpt.score.notes[i].key, score.notes[i].key);
    EXPECT_EQ(excerpt.score.notes[i].part, score.notes[i].part);
    EXPECT_EQ(excerpt.performance.notes[i].onset, performance.notes[i].onset);
    EXPECT_EQ(excerpt.performance.notes[i].end, performance.notes[i].end);
    EXPECT_EQ(excerpt.performance.notes[i].velocity, performance.notes[i].velocity);
  }
  std::string messages;
  for (const Message& message : excerpt.score.messages) {
    messages += fmt::format("{}@{}: {}\n", message.track, message.at.value,
                            test::hex_text(excerpt.score.bytes_of(message)));
  }
  EXPECT_EQ(messages, "0@0: FF 58 03 02 18 08\n0@0: C0 05\n1@1: B1 07 5A\n");
}

// "0! 1 2 3": beats of the click, in the excerpt.
std::string clicks(const Excerpt& excerpt) {
  std::string text;
  for (const Note& note : excerpt.score.notes) {
    if (excerpt.score.parts[note.part].name != "click") continue;
    text +=
        (text.empty() ? "" : " ") + short_number(note.onset.value) + (note.key == 76 ? "!" : "");
  }
  return text;
}

struct ClickRow {
  const char* name;
  std::vector<TimeSignatureChange> signatures;
  ExcerptRequest request;
  const char* clicks;
};

const ClickRow kClicks[] = {
    {"no click", kCommon, {.span = {{4.0}, {8.0}}}, ""},
    {"counted in", kCommon, {.span = {{4.0}, {8.0}}, .count_in = 1}, "0! 1 2 3"},
    {"counted in to an upbeat",
     kCommon,
     {.span = {{7.0}, {12.0}}, .count_in = 1},
     "0! 1 2 3 4! 5 6"},
    {"through the music", kCommon, {.span = {{4.0}, {9.0}}, .click = true}, "0! 1 2 3 4!"},
    {"from an upbeat", kCommon, {.span = {{7.0}, {10.0}}, .click = true}, "0 1! 2"},
    {"from within a beat", kCommon, {.span = {{6.5}, {10.0}}, .click = true}, "0.5 1.5! 2.5"},
    {"counted in and through",
     kCommon,
     {.span = {{7.0}, {9.0}}, .count_in = 1, .click = true},
     "0! 1 2 3 4! 5 6 7 8!"},
    {"through a bar that is cut short",
     kCut,
     {.span = {{4.0}, {10.0}}, .click = true},
     "0! 1 2! 3 4 5!"},
    {"through changing signatures",
     kChanging,
     {.span = {{6.0}, {13.0}}, .click = true},
     "0 1 2! 3.5 5! 6"},
    {"from an odd place",
     kCommon,
     {.span = {{4.0 + 4.0 / 3.0}, {8.0}}, .click = true},
     "0.667 1.667"},
};

TEST(Excerpt, ClicksOnTheScoresOwnBeats) {
  for (const ClickRow& row : kClicks) {
    SCOPED_TRACE(row.name);
    test::ScoreText text;
    text.parts = {test::repeated("C5/0.5", 32)};
    text.signatures = row.signatures;
    const Score score = test::score_of(text);
    const Excerpt excerpt = excerpt_of(score, played(score, bent()), row.request);
    EXPECT_EQ(clicks(excerpt), row.clicks);
    for (std::size_t i = 0; i < excerpt.score.notes.size(); ++i) {  // at the performance's time
      EXPECT_NEAR(excerpt.performance.notes[i].onset.value,
                  excerpt.performance.time.seconds_at(excerpt.score.notes[i].onset).value, 1e-3);
    }
  }
}

}  // namespace
}  // namespace arsis
