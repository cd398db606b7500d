// The click that goes with a performance.
#include "score/click.h"

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

// "0! 1 2 3": the clicks' beats, with "!" after the first of a bar.
std::string clicks(const std::vector<ClickStretch>& stretches, Score score = {}) {
  Performance performance = played(score);
  add_click(score, performance, stretches);
  std::string text;
  for (const Note& note : score.notes) {
    if (score.parts[note.part].name != "click") continue;
    text += (text.empty() ? "" : " ") + fmt::format("{}", note.onset.value);
    if (note.key == 76) text += "!";
  }
  return text;
}

struct BeatRow {
  TimeSignature signature;
  const char* beats;  // of two bars
};

// The beats that musicians count: common practice, no source.
constexpr BeatRow kBeats[] = {
    {{2, 4}, "0! 1 2! 3"},
    {{3, 4}, "0! 1 2 3! 4 5"},
    {{4, 4}, "0! 1 2 3 4! 5 6 7"},
    {{2, 2}, "0! 2 4! 6"},
    {{3, 8}, "0! 0.5 1 1.5! 2 2.5"},
    {{6, 8}, "0! 1.5 3! 4.5"},
    {{9, 8}, "0! 1.5 3 4.5! 6 7.5"},
    {{12, 8}, "0! 1.5 3 4.5 6! 7.5 9 10.5"},
    {{1, 4}, "0! 1!"},
    {{6, 4}, "0! 1 2 3 4 5 6! 7 8 9 10 11"},
    {{7, 8}, "0! 0.5 1 1.5 2 2.5 3 3.5! 4 4.5 5 5.5 6 6.5"},
};

TEST(Click, FallsOnTheCountedBeats) {
  for (const auto& [signature, beats] : kBeats) {
    SCOPED_TRACE(fmt::format("{}/{}", signature.beats, signature.beat_unit));
    EXPECT_EQ(clicks({{{{0.0}, signature.bar_length() * 2.0}, {0.0}, signature}}), beats);
  }
}

TEST(Click, CountsFromTheDownbeatWhereAStretchBeginsLater) {
  EXPECT_EQ(clicks({{{{0.0}, {5.0}}, {-3.0}, {4, 4}}}), "0 1! 2 3 4");
  EXPECT_EQ(clicks({{{{0.0}, {3.0}}, {-0.5}, {4, 4}}}), "0.5 1.5 2.5");
  EXPECT_EQ(clicks({{{{0.0}, {3.0}}, {-2.5}, {6, 8}}}), "0.5! 2");
}

TEST(Click, GoesFromStretchToStretch) {
  EXPECT_EQ(clicks({{{{0.0}, {2.5}}, {0.0}, {3, 4}}, {{{2.5}, {5.5}}, {2.5}, {6, 8}}}),
            "0! 1 2 2.5! 4");
}

TEST(Click, IsNotThereWhereNothingIsAskedFor) {
  Score score = test::score_of("C5 D5");
  Performance performance = played(score);
  add_click(score, performance, {});
  EXPECT_EQ(score.parts.size(), 1u);
  EXPECT_EQ(score.tracks.size(), 1u);
  EXPECT_EQ(score.notes.size(), 2u);
}

TEST(Click, IsThePartAndTheTrackAfterAllOthersOnChannelTen) {
  Score score = test::score_of("C5 D5");
  Performance performance = played(score);
  add_click(score, performance, std::vector<ClickStretch>{{{{0.0}, {4.0}}, {0.0}, {}}});
  ASSERT_EQ(score.parts.size(), 2u);
  EXPECT_EQ(score.parts[1].name, "click");
  EXPECT_EQ(score.parts[1].channel, 9);
  EXPECT_EQ(score.parts[1].track, 1);
  ASSERT_EQ(score.tracks.size(), 2u);
  EXPECT_EQ(score.tracks[1].end.value, 4.0);
  ASSERT_EQ(score.messages.size(), 1u);
  EXPECT_EQ(test::hex_text(score.bytes_of(score.messages[0])), "FF 03 63 6C 69 63 6B");
  EXPECT_EQ(score.messages[0].track, 1);
}

TEST(Click, ComesAmongTheNotesInOrderOfTime) {
  Score score = test::score_of("C5/0.5 D5 E5 F5/2");
  Performance performance = played(score);
  add_click(score, performance, std::vector<ClickStretch>{{{{0.0}, {4.0}}, {0.0}, {}}});
  ASSERT_EQ(performance.notes.size(), score.notes.size());
  std::string order;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    order += fmt::format("{}{} ", note.part == 1 ? "x" : "", note.onset.value);
    EXPECT_DOUBLE_EQ(performance.notes[i].onset.value, note.onset.value / 2.0);
    EXPECT_EQ(performance.notes[i].velocity, note.velocity);
  }
  EXPECT_EQ(order, "0 x0 0.5 x1 1.5 x2 2.5 x3 ");
}

TEST(Click, BendsWithTheTimeOfThePerformance) {
  Score score = test::score_of("C5/4");
  Performance performance =
      played(score, TimeMap({{{0.0}, {0.25}}, {{1.5}, {1.0}}, {{2.0}, {1.5}}, {{4.0}, {2.5}}}));
  add_click(score, performance, std::vector<ClickStretch>{{{{0.0}, {4.0}}, {0.0}, {}}});
  std::string onsets;
  for (std::size_t i = 1; i < score.notes.size(); ++i) {
    onsets += fmt::format("{:.9f} ", performance.notes[i].onset.value);
  }
  EXPECT_EQ(onsets, "0.250000000 0.750000000 1.500000000 2.000000000 ");
}

TEST(Click, EndsBeforeTheNextWhereBeatsAreVeryFast) {
  Score score;
  Performance performance;
  performance.time = TimeMap({{{0.0}, {0.0}}, {{8.0}, {0.08}}});  // a beat lasts 10 ms
  add_click(score, performance, std::vector<ClickStretch>{{{{0.0}, {8.0}}, {0.0}, {}}});
  ASSERT_EQ(score.notes.size(), 8u);
  for (std::size_t i = 0; i < 8; ++i) {
    for (std::size_t k = i + 1; k < 8; ++k) {
      if (score.notes[i].key != score.notes[k].key) continue;
      EXPECT_LE(performance.notes[i].end, performance.notes[k].onset);
      EXPECT_LE(score.notes[i].end, score.notes[k].onset);
    }
    EXPECT_GT(performance.notes[i].end, performance.notes[i].onset);
  }
}

TEST(Click, StopsAfterAMillion) {
  Score score;
  Performance performance;
  add_click(score, performance,
            std::vector<ClickStretch>{{{{0.0}, {500'000.0}}, {0.0}, {255, 64}}});
  EXPECT_EQ(score.notes.size(), 1'000'000u);
}

}  // namespace
}  // namespace arsis
