// The readings of a block: which there are, what they are called, and that nothing but what leads
// changes.
#include "plan/readings.h"

#include <gtest/gtest.h>

#include <set>

#include "plan/plan_text.h"
#include "plan/random_plan.h"
#include "plan/same_plan.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::holds;
using test::number;
using test::plan_of;
using test::random_plan;
using test::repeated;
using test::said;
using test::score_of;

// Twelve bars of quarter notes in 4/4.
Score march() { return score_of(repeated("C5", 48)); }

Plan plan_with(const std::string& sentences, const std::string& rest = "") {
  return plan_of("arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:1}\nsentences: " +
                 sentences + "\n" + rest);
}

// "1.2 2.1": the main members of a level that are led to in a block of the level above.
std::string leading(const BoundPlan& bound, Level level) {
  std::string text;
  for (std::size_t i = 0; i < bound.level(level).size(); ++i) {
    if (bound.level(level)[i].is_main)
      text += (text.empty() ? "" : " ") + block_name(bound, level, i);
  }
  return text;
}

struct Row {
  const char* what;
  std::string sentences;
  std::string rest;
  LedBlock block;
  Level members;
  // Each reading: its name, and what leads then in every block of the level above the members.
  std::vector<std::pair<std::string, std::string>> readings;
};

const std::vector<Row>& rows() {
  static const std::vector<Row> kRows = {
      {"a phrase, its own main first",
       "[{phrases: [u / u, / u], main: 1}]",
       "",
       {Level::kPhrase, 0, 0},
       Level::kMotif,
       {{"motif 2 leads", "1.1.2 1.2.1"},
        {"motif 1 leads", "1.1.1 1.2.1"},
        {"motif 3 leads", "1.1.3 1.2.1"}}},
      {"a phrase of one motif has no choice",
       "[{phrases: [/, / u], main: 1}]",
       "",
       {Level::kPhrase, 0, 0},
       Level::kMotif,
       {{"motif 1 leads", "1.1.1 1.2.1"}}},
      {"a sentence",
       "[{phrases: [u /, / u], main: 2}, {phrases: [u /, u /], main: 1}]",
       "",
       {Level::kSentence, 0, 0},
       Level::kPhrase,
       {{"phrase 2 leads", "1.2 2.1"}, {"phrase 1 leads", "1.1 2.1"}}},
      {"a phrase of a sentence that is like another: both change, its main phrase stays its own",
       "[{phrases: [u /, / u], main: 1}, {like: 1, main: 2}]",
       "",
       {Level::kPhrase, 1, 1},
       Level::kMotif,
       {{"motif 1 leads", "1.1.2 1.2.1 2.1.2 2.2.1"},
        {"motif 2 leads", "1.1.2 1.2.2 2.1.2 2.2.2"}}},
      {"a phrase of a sentence that others are like: they follow",
       "[{phrases: [u /, / u], main: 1}, {like: 1}, {like: 1}]",
       "",
       {Level::kPhrase, 0, 0},
       Level::kMotif,
       {{"motif 2 leads", "1.1.2 1.2.1 2.1.2 2.2.1 3.1.2 3.2.1"},
        {"motif 1 leads", "1.1.1 1.2.1 2.1.1 2.2.1 3.1.1 3.2.1"}}},
      {"which phrase leads a sentence that is like another is its own",
       "[{phrases: [u /, / u], main: 1}, {like: 1}]",
       "",
       {Level::kSentence, 1, 0},
       Level::kPhrase,
       {{"phrase 1 leads", "1.1 2.1"}, {"phrase 2 leads", "1.1 2.2"}}},
      {"a sentence that others are like: they keep their own",
       "[{phrases: [u /, / u], main: 1}, {like: 1}]",
       "",
       {Level::kSentence, 0, 0},
       Level::kPhrase,
       {{"phrase 1 leads", "1.1 2.1"}, {"phrase 2 leads", "1.2 2.1"}}},
      {"the piece",
       "[{phrases: [u /]}, {phrases: [u /]}, {like: 1}]",
       "main: 2\n",
       {Level::kPiece, 0, 0},
       Level::kSentence,
       {{"sentence 2 leads", "2"}, {"sentence 1 leads", "1"}, {"sentence 3 leads", "3"}}},
      {"a piece that leads nowhere by the plan",
       "[{phrases: [u /]}, {phrases: [u /]}]",
       "",
       {Level::kPiece, 0, 0},
       Level::kSentence,
       {{"no sentence leads", ""}, {"sentence 1 leads", "1"}, {"sentence 2 leads", "2"}}},
      {"irregular motifs, whose places stay",
       "[{phrases: [{motifs: [{to: 2:3}, {to: 4:1, goal: 3:2, main: true}]}]}, {like: 1}]",
       "",
       {Level::kPhrase, 1, 0},
       Level::kMotif,
       {{"motif 2 leads", "1.1.2 2.1.2"}, {"motif 1 leads", "1.1.1 2.1.1"}}},
  };
  return kRows;
}

// Where every motif begins, ends and leads.
std::string motifs(const BoundPlan& bound) {
  std::string text;
  for (const Block& motif : bound.motifs) {
    text +=
        fmt::format("{} {} {}\n", motif.span.begin.value, motif.span.end.value, motif.goal.value);
  }
  return text;
}

TEST(Readings, BindWithEachMemberLeadingAndEveryMotifInItsPlace) {
  const Score score = march();
  for (const Row& row : rows()) {
    SCOPED_TRACE(row.what);
    const Plan plan = plan_with(row.sentences, row.rest);
    const Result<BoundPlan> own = bind_plan(plan, score);
    ASSERT_TRUE(own) << testing::PrintToString(test::texts_of(own.diagnostics()));
    ASSERT_TRUE(has_block(plan, row.block));
    std::vector<std::pair<std::string, std::string>> found;
    for (const Reading& reading : readings_of(plan, row.block)) {
      EXPECT_EQ(reading.is_own, found.empty());
      const Result<BoundPlan> bound = bind_plan(with_reading(plan, row.block, reading), score);
      ASSERT_TRUE(bound) << reading.name;
      EXPECT_EQ(motifs(*bound), motifs(*own)) << reading.name;
      found.emplace_back(reading.name, leading(*bound, row.members));
    }
    EXPECT_EQ(found, row.readings);
  }
}

TEST(Readings, AreOnlyOfBlocksThatThePlanHas) {
  const Plan plan = plan_with("[{phrases: [u /, / u], main: 1}, {like: 1}]");
  EXPECT_TRUE(has_block(plan, {Level::kPiece}));
  EXPECT_TRUE(has_block(plan, {Level::kSentence, 1}));
  EXPECT_FALSE(has_block(plan, {Level::kSentence, 2}));
  EXPECT_TRUE(has_block(plan, {Level::kPhrase, 1, 1}));
  EXPECT_FALSE(has_block(plan, {Level::kPhrase, 1, 2}));
  EXPECT_FALSE(has_block(plan, {Level::kPhrase, 2, 0}));
  EXPECT_FALSE(has_block(plan, {Level::kMotif, 0, 0}));
  EXPECT_FALSE(has_block(Plan{}, {Level::kPiece}));
}

LedBlock random_block(const Plan& plan) {
  LedBlock block;
  block.level = kEveryLevel[static_cast<std::size_t>(number(1, 3))];
  block.sentence = static_cast<std::size_t>(number(0, static_cast<int>(plan.sentences.size()) - 1));
  const SentencePlan& named = plan.sentences[block.sentence];
  const SentencePlan& model = named.like ? plan.sentences[*named.like] : named;
  block.phrase = static_cast<std::size_t>(number(0, static_cast<int>(model.phrases.size()) - 1));
  return block;
}

// The plan's own reading is the plan, all differ, and each leads back to the plan's own.
TEST(Readings, ChangeNothingButWhatLeads) {
  EXPECT_TRUE(holds(1'000, [] {
    const Plan plan = random_plan();
    const LedBlock block = random_block(plan);
    const std::vector<Reading> readings = readings_of(plan, block);
    std::set<std::string> plans;
    std::set<std::string> names;
    for (const Reading& reading : readings) {
      const Plan other = with_reading(plan, block, reading);
      RC_ASSERT((said(other) == said(plan)) == reading.is_own);
      RC_ASSERT(said(with_reading(other, block, readings.front())) == said(plan));
      plans.insert(said(other));
      names.insert(reading.name);
    }
    RC_ASSERT(plans.size() == readings.size());
    RC_ASSERT(names.size() == readings.size());
  }));
}

}  // namespace
}  // namespace arsis
