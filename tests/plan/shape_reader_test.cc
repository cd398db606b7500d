// `shape:`, against the table of constants.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "base/text.h"
#include "plan/plan_text.h"

namespace arsis {
namespace {

using test::complaints;
using test::kUpToSentences;
using test::kWholePlan;
using test::plan_of;

using Row = test::ComplaintRow;

// "dB" with a number before it, or the number alone where the constant has no unit.
std::string quantity(double number, const ConstantInfo& info) {
  return short_number(number) + (info.unit.empty() ? "" : " " + std::string(info.unit));
}

std::string shape_with(const ConstantInfo& info, const std::string& value) {
  const std::string entry = std::string(info.name) + ": " + value;
  return kWholePlan + (info.group.empty()
                           ? "shape: {" + entry + "}\n"
                           : "shape: {" + std::string(info.group) + ": {" + entry + "}}\n");
}

TEST(ConstantTable, IsSound) {
  for (const ConstantInfo& info : constant_table()) {
    SCOPED_TRACE(std::string(info.group) + "." + std::string(info.name));
    EXPECT_LT(info.least, info.most);
    EXPECT_LE(info.least, info.initial);
    EXPECT_LE(info.initial, info.most);
    EXPECT_FALSE(info.meaning.empty());
    EXPECT_FALSE(info.source.empty());
    for (const ConstantInfo& other : constant_table()) {
      EXPECT_TRUE(&other == &info || other.group != info.group || other.name != info.name);
    }
  }
}

TEST(ConstantTable, IsAcceptedWithinItsRangeAndRefusedOutside) {
  for (std::size_t i = 0; i < kConstants; ++i) {
    const ConstantInfo& info = constant_table()[i];
    SCOPED_TRACE(std::string(info.group) + "." + std::string(info.name));
    for (const double value : {info.least, info.initial, info.most}) {
      const Plan plan = plan_of(shape_with(info, quantity(value, info)));
      ASSERT_EQ(plan.shape.constants.size(), 1u);
      EXPECT_EQ(plan.shape.constants[0], std::pair(static_cast<Constant>(i), value));
      EXPECT_EQ(overridden(Tuning{}, plan.shape).raw(static_cast<Constant>(i)), value);
    }
    const std::string range =
        "write " + quantity(info.least, info) + " to " + quantity(info.most, info);
    for (const double value : {info.least - 0.01, info.most + 0.01}) {
      const auto messages = complaints(shape_with(info, quantity(value, info)));
      ASSERT_EQ(messages.size(), 1u);
      EXPECT_TRUE(messages[0].ends_with(std::string(info.name) + " cannot be '" +
                                        quantity(value, info) + "'; " + range))
          << messages[0];
    }
  }
}

TEST(ConstantTable, DemandsTheUnit) {
  for (const ConstantInfo& info : constant_table()) {
    const std::string bare = short_number(info.initial);
    const auto messages = complaints(shape_with(info, bare));
    if (info.unit.empty()) {
      EXPECT_TRUE(messages.empty()) << info.name;
      continue;
    }
    ASSERT_EQ(messages.size(), 1u) << info.name;
    EXPECT_TRUE(messages[0].find(std::string(info.name) + " '" + bare + "' lacks a unit; write ") !=
                std::string::npos)
        << messages[0];
  }
}

// Design: the numbers to start from.
TEST(Tuning, StartsFromTheDesignsNumbers) {
  struct Numbers {
    Level level;
    double depth_db, slowing, linger, width, breath_s;
  };
  constexpr Numbers kNumbers[] = {{Level::kMotif, 1.5, 0.015, 0.02, 1.0, 0.020},
                                  {Level::kPhrase, 3.5, 0.05, 0.04, 1.0, 0.060},
                                  {Level::kSentence, 2.5, 0.04, 0.06, 1.0, 0.120}};
  const Tuning tuning;
  for (const Numbers& numbers : kNumbers) {
    SCOPED_TRACE(name_of(numbers.level));
    EXPECT_DOUBLE_EQ(tuning.depth(numbers.level).value, numbers.depth_db);
    EXPECT_DOUBLE_EQ(tuning.slowing(numbers.level), numbers.slowing);
    EXPECT_DOUBLE_EQ(tuning.linger(numbers.level), numbers.linger);
    EXPECT_DOUBLE_EQ(tuning.width(numbers.level), numbers.width);
    EXPECT_DOUBLE_EQ(tuning.breath(numbers.level).value, numbers.breath_s);
  }
  EXPECT_EQ(tuning.balance(Role::kMelody), Decibels{0.0});
  EXPECT_EQ(tuning.balance(Role::kAccompaniment), Decibels{-4.0});
  EXPECT_EQ(tuning.balance(Role::kBass), Decibels{-2.5});
  EXPECT_EQ(tuning.diminuendo, Diminuendo::kBroaden);
  EXPECT_EQ(tuning.keep, Keep::kSentence);
}

// Source: MusicXML 4.0, attribute dynamics of sound: 100 % is velocity 90, which is our f. The
// steps are our choice.
TEST(DynamicLevels, GoUpFromForteByLouderAndDownBySofter) {
  const Tuning tuning;
  const double forte = level_of(Velocity::clamped(90)).value;
  struct Dynamic {
    const char* mark;
    double below_forte_db;
  };
  constexpr Dynamic kDynamics[] = {{"pp", -18.0}, {"p", -13.5}, {"mp", -9.0},
                                   {"mf", -4.5},  {"f", 0.0},   {"ff", 3.0}};
  for (const auto& [mark, below] : kDynamics) {
    EXPECT_NEAR(level_of_dynamic(*dynamic_step(mark), tuning).value, forte + below, 1e-3) << mark;
  }
  EXPECT_NEAR(level_of_dynamic(*dynamic_step("ffff"), tuning).value, 0.0, 1e-12);
  EXPECT_EQ(dynamic_step("mezzo"), std::nullopt);
}

TEST(ShapeReader, ReadsSecondsAsMilliseconds) {
  const Plan plan = plan_of(kWholePlan + "shape: {phrase: {breath: 0.08 s}}\n");
  EXPECT_DOUBLE_EQ(plan.shape.constants.at(0).second, 80.0);
}

TEST(ShapeReader, ReadsEveryWord) {
  for (std::size_t i = 0; i < kKeepNames.size(); ++i) {
    const Plan plan = plan_of(kWholePlan + "shape: {keep: " + std::string(kKeepNames[i]) + "}\n");
    EXPECT_EQ(plan.shape.keep, static_cast<Keep>(i));
  }
  for (std::size_t i = 0; i < kDiminuendoNames.size(); ++i) {
    const Plan plan =
        plan_of(kWholePlan + "shape: {diminuendo: " + std::string(kDiminuendoNames[i]) + "}\n");
    EXPECT_EQ(plan.shape.diminuendo, static_cast<Diminuendo>(i));
  }
}

TEST(ShapeReader, TakesAShapeWithEverythingCommentedOut) {
  EXPECT_TRUE(plan_of(kWholePlan + "shape:\n  # motif: {depth: 2 dB}\n").shape.empty());
}

TEST(ShapeReader, SaysWhatIsWrong) {
  const Row rows[] = {
      {"shape: 3",
       {"p:5:8: shape cannot be '3'; write a map with diminuendo, keep, motif, phrase, sentence, "
        "piece, floor, broadening, closing, dynamics, balance, touch, accents or unevenness"}},
      {"shape: {depth: 3 dB}",
       {"p:5:9: shape has no key 'depth'; its keys are diminuendo, keep, motif, phrase, sentence, "
        "piece, floor, broadening, closing, dynamics, balance, touch, accents or unevenness"}},
      {"shape: {motif: {dept: 3 dB}}",
       {"p:5:17: shape: motif has no key 'dept'; did you mean 'depth'?"}},
      {"shape: {motif: 3 dB}",
       {"p:5:16: shape: motif cannot be '3 dB'; write a map with depth, slowing, linger, width or "
        "breath"}},
      {"shape: {motif: {depth: 3}}",
       {"p:5:24: depth '3' lacks a unit; write 0 dB to 12 dB, with the unit"}},
      {"shape: {motif: {depth: 3 db}}", {"p:5:24: depth cannot be '3 db'; write 0 dB to 12 dB"}},
      {"shape: {motif: {depth: 30 dB}}", {"p:5:24: depth cannot be '30 dB'; write 0 dB to 12 dB"}},
      {"shape: {motif: {depth: [3 dB]}}", {"p:5:24: depth cannot be a list; write 0 dB to 12 dB"}},
      {"shape: {motif: {depth: }}", {"p:5:17: depth cannot be nothing; write 0 dB to 12 dB"}},
      {"shape: {closing: {curve: 3 dB}}", {"p:5:26: curve cannot be '3 dB'; write 1 to 8"}},
      {"shape: {diminuendo: swells}",
       {"p:5:21: diminuendo cannot be 'swells'; did you mean 'swell'?"}},
      {"shape: {diminuendo: [swell]}",
       {"p:5:21: diminuendo cannot be a list; write broaden or swell"}},
      {"shape: {keep: tempo}",
       {"p:5:15: keep cannot be 'tempo'; write bar, phrase, sentence or off"}},
      {"shape: {phrase: {linger: 4 dB}}", {"p:5:26: linger cannot be '4 dB'; write 0 % to 60 %"}},
      {"shape: {broadening: 2 %}", {"p:5:21: broadening cannot be '2 %'; write 0 %/dB to 20 %/dB"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

TEST(ShapeReader, KeepsABlockToItsOwnLevelAndThoseWithin) {
  const Row rows[] = {
      {"[{phrases: [{feet: u /, shape: {keep: bar}}]}]",
       {"p:4:44: the shape of a phrase has no key 'keep'; its keys are diminuendo, motif, phrase, "
        "broadening, touch or accents"}},
      {"[{phrases: [{feet: u /, shape: {sentence: {depth: 1 dB}}}]}]",
       {"p:4:44: the shape of a phrase has no key 'sentence'; its keys are diminuendo, motif, "
        "phrase, broadening, touch or accents"}},
      {"[{phrases: [{feet: u /, shape: {balance: {melody: -1 dB}}}]}]",
       {"p:4:44: the shape of a phrase has no key 'balance'; its keys are diminuendo, motif, "
        "phrase, broadening, touch or accents"}},
      {"[{phrases: [{feet: u /, shape: {closing: {length: 1 bar}}}]}]",
       {"p:4:44: the shape of a phrase has no key 'closing'; its keys are diminuendo, motif, "
        "phrase, broadening, touch or accents"}},
      {"[{phrases: [u /], shape: {piece: {depth: 1 dB}}}]",
       {"p:4:38: the shape of a sentence has no key 'piece'; its keys are diminuendo, motif, "
        "phrase, sentence, broadening, touch or accents"}},
      {"[{phrases: [u /], shape: {floor: -30 dB}}]",
       {"p:4:38: the shape of a sentence has no key 'floor'; its keys are diminuendo, motif, "
        "phrase, sentence, broadening, touch or accents"}},
      {"[{phrases: [u /], shape: {unevenness: {level: 1 dB}}}]",
       {"p:4:38: the shape of a sentence has no key 'unevenness'; its keys are diminuendo, motif, "
        "phrase, sentence, broadening, touch or accents"}},
      {"[{phrases: [{motifs: [{shape: {phrase: {depth: 1 dB}}}]}]}]",
       {"p:4:43: the shape of a motif has no key 'phrase'; its keys are diminuendo, motif, "
        "broadening, touch or accents"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kUpToSentences + "sentences: " + row.plan + "\n"), row.messages)
        << row.plan;
}

}  // namespace
}  // namespace arsis
