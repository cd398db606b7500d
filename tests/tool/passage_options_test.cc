// The words that say what of a piece is to be heard.
#include "tool/passage_options.h"

#include <gtest/gtest.h>

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "plan/plan_reader.h"
#include "score_builder.h"

namespace arsis {
namespace {

// Eight bars and, from beat 32 on, nothing: two sentences of two phrases of two motifs.
Loaded loaded_piece(TimeSignature signature = {4, 4}) {
  const auto quarters = static_cast<int>(8 * signature.bar_length().value);
  test::ScoreText text;
  text.parts = {test::repeated("C5", quarters), test::repeated("C3", quarters)};
  text.signatures = {{{0.0}, signature}};
  text.tempo = {{{0.0}, 500'000}, {{signature.bar_length().value * 4.0}, 1'000'000}};
  Loaded loaded{{}, test::score_of(text), {}, {}};
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: Right hand, track: 1, role: melody}\n"
      "  - {name: left hand, track: 2, role: accompaniment}\n"
      "motif: {length: 1 bar, from: 1:1}\nsentences:\n"
      "  - {phrases: [/ u, u /], main: 1}\n  - {phrases: [/ u, u /], main: 1}\n",
      "p.yaml");
  if (!plan) throw std::invalid_argument(to_string(plan.diagnostics().front()));
  loaded.plan = *plan;
  Result<BoundPlan> bound = bind_plan(loaded.plan, loaded.score);
  if (!bound) throw std::invalid_argument(to_string(bound.diagnostics().front()));
  loaded.bound = *std::move(bound);
  return loaded;
}

Passage passage(const PassageOptions& options, TimeSignature signature = {4, 4}) {
  const Result<Passage> read = passage_of(options, loaded_piece(signature));
  if (!read) throw std::invalid_argument(to_string(read.diagnostics().front()));
  return *read;
}

// The words of a command line, read as the commands read them.
PassageOptions worded(std::vector<std::string> words) {
  CLI::App command;
  PassageOptions options;
  add_passage_options(command, options);
  std::ranges::reverse(words);  // as CLI11 takes them
  command.parse(words);
  return options;
}

TEST(PassageOptions, SayNothingOfTheWholePiece) {
  const Passage whole = passage(worded({}));
  EXPECT_TRUE(whole.whole);
  EXPECT_EQ(whole.speed, 1.0);
  EXPECT_TRUE(whole.excerpt.parts.empty());
  EXPECT_EQ(whole.excerpt.count_in, 0);
  EXPECT_FALSE(whole.excerpt.click);
  EXPECT_EQ(whole.excerpt.span.begin.value, 0.0);
  EXPECT_GT(whole.excerpt.span.end.value, 32.0);  // the last note's end included
}

struct SpanRow {
  std::vector<std::string> words;
  Span span;
};

TEST(PassageOptions, NameBlocksAndBars) {
  const SpanRow rows[] = {
      {{"--sentence", "2"}, {{16.0}, {32.0}}},
      {{"--phrase", "2.1"}, {{16.0}, {24.0}}},
      {{"--motif", "1.2.2"}, {{12.0}, {16.0}}},
      {{"--motif", " 1.2.2 "}, {{12.0}, {16.0}}},
      {{"--from", "3:1", "--to", "5:3"}, {{8.0}, {18.0}}},
      {{"--from", "3:2.5", "--to", "4:1+1/2"}, {{9.5}, {12.5}}},
      {{"--to", "2:1"}, {{0.0}, {4.0}}},
      {{"--from", "8:1", "--to", "8:5"}, {{28.0}, {32.0}}},
  };
  for (const SpanRow& row : rows) {
    SCOPED_TRACE(row.words[1]);
    const Passage read = passage(worded(row.words));
    EXPECT_EQ(read.excerpt.span, row.span);
    EXPECT_FALSE(read.whole);
  }
  EXPECT_GT(passage(worded({"--from", "8:1"})).excerpt.span.end.value, 32.0);
}

struct TempoRow {
  const char* tempo;
  TimeSignature signature;
  const char* from;
  double speed;
};

TEST(PassageOptions, SayHowFast) {
  // The score has 120 quarter notes a minute in bars 1 to 4, then 60.
  const TempoRow rows[] = {
      {"60%", {4, 4}, "", 0.6},      {"150 %", {4, 4}, "", 1.5},   {"10%", {4, 4}, "", 0.1},
      {"400%", {4, 4}, "", 4.0},     {"72 bpm", {4, 4}, "", 0.6},  {"72bpm", {4, 4}, "5:1", 1.2},
      {"90 bpm", {2, 2}, "", 1.5},   {"60 bpm", {6, 8}, "", 0.75}, {"60 bpm", {6, 8}, "5:1", 1.5},
      {"60 bpm", {12, 8}, "", 0.75}, {"120 bpm", {3, 8}, "", 0.5},
  };
  for (const TempoRow& row : rows) {
    SCOPED_TRACE(row.tempo);
    PassageOptions options = worded({"--tempo", row.tempo});
    options.from = row.from;
    const Passage read = passage(options, row.signature);
    EXPECT_NEAR(read.speed, row.speed, 1e-12);
    EXPECT_EQ(read.whole, options.from.empty());  // a speed cuts nothing
  }
}

using enum Hearing;

struct PartsRow {
  std::vector<std::string> words;
  bool keep_muted;
  std::vector<Hearing> parts;
};

TEST(PassageOptions, NamePartsInAnyLetterCase) {
  const PartsRow rows[] = {
      {{"--part", "right hand"}, false, {kHeard, kLeftOut}},
      {{"--part", "LEFT Hand"}, false, {kLeftOut, kHeard}},
      {{"--mute", " Right HAND "}, false, {kLeftOut, kHeard}},
      {{"--mute", "left hand"}, true, {kHeard, kSilent}},
      {{"--part", "left hand", "--part", "right hand"}, false, {kHeard, kHeard}},
      {{"--part", "left hand", "--part", "right hand", "--mute", "left hand"},
       false,
       {kHeard, kLeftOut}},
  };
  for (const PartsRow& row : rows) {
    SCOPED_TRACE(row.words[1]);
    PassageOptions options = worded(row.words);
    options.keep_muted = row.keep_muted;
    const Passage read = passage(options);
    EXPECT_EQ(read.excerpt.parts, row.parts);
    EXPECT_FALSE(read.whole);
  }
}

TEST(PassageOptions, SayWhatIsCountedInAndClicked) {
  const Passage counted = passage(worded({"--count-in", "2"}));
  EXPECT_EQ(counted.excerpt.count_in, 2);
  EXPECT_FALSE(counted.excerpt.click);
  EXPECT_FALSE(counted.whole);
  const Passage clicked = passage(worded({"--click"}));
  EXPECT_TRUE(clicked.excerpt.click);
  EXPECT_FALSE(clicked.whole);
  EXPECT_EQ(passage(worded({"--count-in", "8"})).excerpt.count_in, 8);
}

constexpr const char* kParts = "; the parts are 'Right hand', 'left hand'";

TEST(PassageOptions, SayWhatIsWrong) {
  const std::string tempo =
      "; write a share of the score's tempo, 10% to 400%, or beats a minute, as in '72 bpm'";
  const std::vector<std::pair<std::vector<std::string>, std::string>> rows = {
      {{"--sentence", "3"},
       "--sentence: there is no sentence '3'; write one as 'arsis check' names it, as in '2'"},
      {{"--phrase", "2"},
       "--phrase: there is no phrase '2'; write one as 'arsis check' names it, as in '2.1'"},
      {{"--motif", "1.1.9"},
       "--motif: there is no motif '1.1.9'; write one as 'arsis check' names it, as in '2.1.3'"},
      {{"--from", "9:1"},
       "--from: there is no place '9:1' in the score; write bar and beat, as in '9:1', in bars 1 "
       "to 8"},
      {{"--to", "four"},
       "--to: there is no place 'four' in the score; write bar and beat, as in '9:1', in bars 1 to "
       "8"},
      {{"--from", "3:1", "--to", "3:1"},
       "the passage ends before it begins; write a --to after --from"},
      {{"--from", "3:1", "--to", "2:1"},
       "the passage ends before it begins; write a --to after --from"},
      {{"--sentence", "1", "--motif", "1.1.1"},
       "more than one passage is named; write one of --sentence, --phrase, --motif, or --from with "
       "--to"},
      {{"--phrase", "1.1", "--to", "3:1"},
       "more than one passage is named; write one of --sentence, --phrase, --motif, or --from with "
       "--to"},
      {{"--tempo", "fast"}, "--tempo cannot be 'fast'" + tempo},
      {{"--tempo", "72"}, "--tempo cannot be '72'" + tempo},
      {{"--tempo", "9%"}, "--tempo '9%' is too slow beside the score's 120 bpm" + tempo},
      {{"--tempo", "0%"}, "--tempo '0%' is too slow beside the score's 120 bpm" + tempo},
      {{"--tempo", "401%"}, "--tempo '401%' is too fast beside the score's 120 bpm" + tempo},
      {{"--tempo", "500 bpm"}, "--tempo '500 bpm' is too fast beside the score's 120 bpm" + tempo},
      {{"--part", "middle"}, std::string("--part: there is no part 'middle'") + kParts},
      {{"--mute", "hand"}, std::string("--mute: there is no part 'hand'") + kParts},
      {{"--mute", "left hand", "--mute", "right hand"},
       "no part is left to be heard; mute fewer of them"},
      {{"--part", "left hand", "--mute", "left hand"},
       "no part is left to be heard; mute fewer of them"},
      {{"--count-in", "9"}, "--count-in cannot be '9'; write a number of bars, 0 to 8"},
      {{"--count-in", "-1"}, "--count-in cannot be '-1'; write a number of bars, 0 to 8"},
      {{"--count-in", "1.5"}, "--count-in cannot be '1.5'; write a number of bars, 0 to 8"},
  };
  const Loaded loaded = loaded_piece();
  for (const auto& [words, message] : rows) {
    SCOPED_TRACE(message);
    const Result<Passage> read = passage_of(worded(words), loaded);
    ASSERT_FALSE(read);
    ASSERT_EQ(read.diagnostics().size(), 1u);
    EXPECT_EQ(to_string(read.diagnostics()[0]), message);
  }
}

TEST(PassageOptions, SayAllThatIsWrongAtOnce) {
  const Result<Passage> read =
      passage_of(worded({"--from", "0:1", "--to", "99:1", "--tempo", "x", "--part", "a", "--mute",
                         "b", "--count-in", "many"}),
                 loaded_piece());
  ASSERT_FALSE(read);
  EXPECT_EQ(read.diagnostics().size(), 6u);
}

TEST(PassageOptions, WarnWhereNothingIsHeard) {
  const std::vector<std::pair<std::vector<std::string>, bool>> rows = {
      {{}, true},
      {{"--from", "2:1", "--to", "2:1.5"}, true},
      {{"--from", "2:1.25", "--to", "2:1.75"}, false},
      {{"--from", "8:4.5"}, false},
      {{"--voice", "sing"}, true},
      {{"--voice", "sing", "--from", "2:1.25", "--to", "2:1.75"}, false},
  };
  for (const auto& [words, heard] : rows) {
    SCOPED_TRACE(words.empty() ? "" : words.back());
    const Result<Passage> read = passage_of(worded(words), loaded_piece());
    ASSERT_TRUE(read);
    EXPECT_EQ(read.diagnostics().empty(), heard);
  }
}

TEST(PassageOptions, LetAPassageEndWithTheBarAfterTheLast) {
  const Span span = passage(worded({"--from", "8:1", "--to", "9:1"})).excerpt.span;
  EXPECT_EQ(span.end, loaded_piece().score.bars.all().back().span.end);
}

TEST(PassageOptions, PerformThePassageAlone) {
  const Loaded loaded = loaded_piece();
  const Passage read = passage(worded({"--phrase", "2.1", "--mute", "left hand"}));
  const Excerpt excerpt = perform_passage(loaded, read, {}, {});
  EXPECT_EQ(excerpt.score.notes.size(), 8u);
  EXPECT_EQ(excerpt.score.parts.size(), 1u);
}

}  // namespace
}  // namespace arsis
