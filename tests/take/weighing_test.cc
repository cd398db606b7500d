// Which choice is likeliest, of phrases made up of two columns each.
#include "take/weighing.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace arsis {
namespace {

constexpr std::size_t kNotesOfPhrase = 12;
constexpr std::size_t kSecondLeads = 1, kNobodyLeads = 2;

// In dB against the base, in which the first member leads: 3 dB from the one goal to the other.
double second_less_first(std::size_t i) { return -1.5 + 3.0 * static_cast<double>(i) / 11.0; }
// Without an arc it lies halfway between the two, and the ends are as loud as the middle.
double none_less_first(std::size_t i) {
  const double x = (static_cast<double>(i) - 5.5) / 5.5;
  return second_less_first(i) / 2.0 + 3.0 * x * x;
}

// Sentences of one phrase, of which each was played as chosen, in that amount of the arcs.
std::vector<SentenceEvidence> played_as(const std::vector<std::size_t>& chosen, double amount) {
  std::vector<SentenceEvidence> sentences;
  for (const std::size_t choice : chosen) {
    SentenceEvidence& sentence = sentences.emplace_back();
    sentence.blocks = {{Level::kPhrase, 0, 2, 0}};
    sentence.columns = 3;
    for (CueEvidence& cue : sentence.cues) cue.columns.resize(3);
    CueEvidence& level = sentence.cues[index_of(ArcCue::kLevel)];
    level.beside.emplace_back(kNotesOfPhrase, 1.0);
    for (std::size_t i = 0; i < kNotesOfPhrase; ++i) {
      const double second = second_less_first(i);
      const double none = none_less_first(i);
      const double arc = (choice == kSecondLeads ? second : 0.0) - none;
      const double rounding = i % 2 == 0 ? 0.05 : -0.05;
      level.observed.push_back(4.0 + rounding + none +
                               (choice == kNobodyLeads ? 0.0 : amount * arc));
      level.errors.push_back(1.0);
      level.columns[0].push_back(0.0);
      level.columns[1].push_back(second);
      level.columns[2].push_back(none);
    }
  }
  return sentences;
}

TEST(Weigh, FindsWhatWasPlayed) {
  const std::vector<std::size_t> chosen = {0, 0, kSecondLeads, 0, kNobodyLeads, 0};
  const Weighing weighing = weigh(played_as(chosen, 1.0));
  for (std::size_t s = 0; s < chosen.size(); ++s) {
    SCOPED_TRACE(s);
    EXPECT_EQ(weighing.likeliest({s, 0}), chosen[s]);
    for (std::size_t choice = 0; choice < 3; ++choice) {
      const double odds = weighing.odds({s, 0}, choice);
      if (choice == chosen[s]) {
        EXPECT_EQ(odds, 0.0);
      } else {
        EXPECT_LT(odds, -5.0);
      }
    }
  }
  EXPECT_EQ(weighing.amount(ArcCue::kLevel, Level::kPhrase).value, 1.0);
  EXPECT_LT(weighing.amount(ArcCue::kLevel, Level::kPhrase).error, 0.1);
  EXPECT_TRUE(std::isinf(weighing.amount(ArcCue::kTime, Level::kPhrase).error));
}

TEST(Weigh, MeasuresHowDeepTheArcsAre) {
  for (const double amount : {0.5, 2.0}) {
    const Weighing weighing = weigh(played_as({0, kSecondLeads, 0, kSecondLeads, 0}, amount));
    EXPECT_NEAR(weighing.amount(ArcCue::kLevel, Level::kPhrase).value, amount, 0.1);
    EXPECT_EQ(weighing.likeliest({1, 0}), kSecondLeads);
    EXPECT_EQ(weighing.likeliest({2, 0}), 0u);
  }
}

TEST(Weigh, TellsHowFarTowardsTheOneOrTheOther) {
  const Weighing weighing = weigh(played_as({0, kSecondLeads, 0, kNobodyLeads}, 1.0));
  const auto amplitude = [&](std::size_t sentence) {
    return weighing.contrast(ArcCue::kLevel, {sentence, 0}, 0, kSecondLeads).amplitude;
  };
  EXPECT_NEAR(amplitude(0), 1.0, 0.05);
  EXPECT_NEAR(amplitude(1), -1.0, 0.05);
  EXPECT_NEAR(amplitude(3), 0.0, 0.05);
  const Contrast time = weighing.contrast(ArcCue::kTime, {0, 0}, 0, kSecondLeads);
  EXPECT_TRUE(std::isinf(time.error));
}

// One note 8 dB off, as if another were meant.
TEST(Weigh, IsNotMisledByOneNote) {
  for (std::size_t wrong = 0; wrong < kNotesOfPhrase; ++wrong) {
    SCOPED_TRACE(wrong);
    std::vector<SentenceEvidence> sentences = played_as({0, kSecondLeads, 0, 0, kSecondLeads}, 1.0);
    sentences[1].cues[index_of(ArcCue::kLevel)].observed[wrong] -= 8.0;
    EXPECT_EQ(weigh(sentences).likeliest({1, 0}), kSecondLeads);
  }
}

// What a phrase with no notes does is as with most; what it can be told from is nothing.
TEST(Weigh, KnowsNothingOfWhatWasNotPlayed) {
  std::vector<SentenceEvidence> sentences = played_as({0, kSecondLeads, 0, 0}, 1.0);
  SentenceEvidence& empty = sentences.emplace_back(sentences[0]);
  for (CueEvidence& cue : empty.cues) {
    cue.observed.clear();
    cue.errors.clear();
    for (std::vector<double>& column : cue.columns) column.clear();
    for (std::vector<double>& column : cue.beside) column.clear();
  }
  const Weighing weighing = weigh(sentences);
  EXPECT_NEAR(weighing.odds({4, 0}, 0), weighing.odds({4, 0}, kSecondLeads), 1e-9);
  EXPECT_TRUE(std::isinf(weighing.contrast(ArcCue::kLevel, {4, 0}, 0, kSecondLeads).error));
  EXPECT_EQ(weigh({}).sentences().size(), 0u);
}

}  // namespace
}  // namespace arsis
