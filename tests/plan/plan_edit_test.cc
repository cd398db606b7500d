// Other mains in a plan's own text: nothing else in it changes.
#include "plan/plan_edit.h"

#include <gtest/gtest.h>

#include "plan/plan_text.h"
#include "plan/plan_writer.h"
#include "plan/random_plan.h"
#include "plan/same_plan.h"

namespace arsis {
namespace {

using test::holds;
using test::number;
using test::plan_of;

struct Row {
  const char* what;
  std::string before;
  std::vector<std::size_t> phrases;
  std::vector<std::size_t> sentences;
  std::optional<std::size_t> piece;
  std::string after;
};

const std::vector<Row>& rows() {
  static const std::vector<Row> kRows = {
      {"feet and mains, with remarks and layout",
       "sentences:   # mine\n  - {phrases: [u  /, / u] , main: 1 }  # u / u\nmain: 1 # here\n",
       {0, 1},
       {1},
       0,
       "sentences:   # mine\n  - {phrases: [/  u, u /] , main: 2 }  # u / u\nmain: 1 # here\n"},
      {"one line a key",
       "sentences:\n- phrases:\n  - u / u\n  - '/ u'\n  main: 2\n- like: 1\n",
       {2, 1, 2, 1},
       {0, 0},
       {},
       "sentences:\n- phrases:\n  - u u /\n  - 'u /'\n  main: 1\n- like: 1\n"},
      {"a sentence that is like another in its phrases only",
       "sentences: [{phrases: [u /, u /], main: 1}, {like: 1}]\n",
       {1, 1, 1, 1},
       {0, 1},
       {},
       "sentences: [{phrases: [u /, u /], main: 1}, {like: 1, main: 2}]\n"},
      {"the same, one line a key",
       "sentences:\n- {phrases: [u /, u /], main: 1}\n- like: 1\n  from: 5:1\n",
       {1, 1, 1, 1},
       {0, 1},
       {},
       "sentences:\n- {phrases: [u /, u /], main: 1}\n- like: 1\n  main: 2\n  from: 5:1\n"},
      {"a sentence that is like another no more",
       "sentences: [{phrases: [u /, u /], main: 1}, {like: 1}, {like: 2}]\n",
       {1, 1, 0, 1, 1, 1},
       {0, 0, 0},
       {},
       "sentences: [{phrases: [u /, u /], main: 1}, {phrases: [/ u, u /], main: 1}, "
       "{phrases: [u /, u /], main: 1}]\n"},
      {"the long form stays, but for its neighbours",
       "sentences: [{phrases: [{motifs: [u, {length: 2 bars, main: true}]}, {feet: u /}], main: "
       "1}]\n",
       {0, 0},
       {1},
       {},
       "sentences: [{phrases: [{motifs: [u, {length: 2 bars, main: true}]}, {feet: / u}], main: "
       "2}]\n"},
      {"feet whose main is a number",
       "sentences: [{phrases: [{feet: u u u, main: 2}]}]\n",
       {2},
       {0},
       {},
       "sentences: [{phrases: [{feet: u u u, main: 3}]}]\n"},
      {"letters beyond ASCII before it",
       "title: é\nsentences: [{phrases: [u /], shape: {}}] # é\n",
       {0},
       {0},
       {},
       "title: é\nsentences: [{phrases: [/ u], shape: {}}] # é\n"}};
  return kRows;
}

const std::string kHead = "arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:1}\n";

TEST(PlanEdit, ChangesMainsAndNothingElse) {
  for (const Row& row : rows()) {
    SCOPED_TRACE(row.what);
    const std::string text = kHead + row.before;
    EXPECT_EQ(with_mains_in_text(text, plan_of(text), {row.phrases, row.sentences, row.piece}),
              kHead + row.after);
  }
}

TEST(PlanEdit, LeavesATextWithTheSameMainsAsItIs) {
  EXPECT_TRUE(holds(500, [] {
    const Plan plan = test::random_plan();
    const std::string text = plan_text(plan);
    const Result<Plan> read = parse_plan(text, "p");
    RC_ASSERT(static_cast<bool>(read));
    RC_ASSERT(with_mains_in_text(text, *read, mains_of(*read)) == text);
  }));
}

// Of random plans in feet, any mains.
TEST(PlanEdit, GivesAnyMainsToAPlanInFeet) {
  EXPECT_TRUE(holds(1000, [] {
    Plan plan = test::random_plan();
    ChosenMains wanted;
    for (SentencePlan& sentence : plan.sentences) {
      for (PhrasePlan& phrase : sentence.phrases) {
        for (MotifPlan& motif : phrase.motifs) motif = {};
      }
      const auto& phrases =
          sentence.like ? plan.sentences[*sentence.like].phrases : sentence.phrases;
      wanted.sentences.push_back(
          static_cast<std::size_t>(number(0, static_cast<int>(phrases.size()) - 1)));
      for (const PhrasePlan& phrase : phrases) {
        wanted.phrases.push_back(
            static_cast<std::size_t>(number(0, static_cast<int>(phrase.motifs.size()) - 1)));
      }
    }
    wanted.piece = plan.main;
    const std::string text = plan_text(plan);
    const Result<Plan> read = parse_plan(text, "p");
    RC_ASSERT(static_cast<bool>(read));
    const std::string changed = with_mains_in_text(text, *read, wanted);
    const Result<Plan> after = parse_plan(changed, "p");
    if (!after) RC_FAIL(to_string(after.diagnostics().front()) + "\n" + changed);
    if (!(mains_of(*after) == wanted)) RC_FAIL(text + "\n" + changed);
  }));
}

TEST(PlanEdit, NamesAMainSentenceWhereThereWasNone) {
  const std::string rest = "sentences: [{phrases: [u /]}]\n";
  const auto named = [](const std::string& text) {
    return with_piece_main_in_text(text, plan_of(text), 0);
  };
  EXPECT_EQ(named("arsis: 1\nscore: a.mid # {\n# x,\n" + rest),
            "arsis: 1\nscore: a.mid # {\n# x,\nmain: 1\n" + rest);
  EXPECT_EQ(named("  arsis: 1\n  score: a.mid\n  " + rest),
            "  arsis: 1\n  score: a.mid\n  main: 1\n  " + rest);
  EXPECT_EQ(named("{arsis: 1, score: a.mid, sentences: [{phrases: [u /]}]}\n"),
            "{arsis: 1, score: a.mid, main: 1, sentences: [{phrases: [u /]}]}\n");
  const std::string has_one = "arsis: 1\nscore: a.mid\nmain: 1\n" + rest;
  EXPECT_EQ(named(has_one), has_one);
}

TEST(PlanEdit, NamesAnotherScore) {
  const std::string rest = "sentences: [{phrases: [u /]}]\n";
  const auto moved = [&](const std::string& line, const std::string& score) {
    const std::string text = "arsis: 1\n" + line + rest;
    return with_score_in_text(text, plan_of(text), score).value_or("none");
  };
  EXPECT_EQ(moved("score: a.mid  # x\n", "../b.mid"), "arsis: 1\nscore: ../b.mid  # x\n" + rest);
  EXPECT_EQ(moved("score: 'a b.mid' # x\n", "c: d.mid"),
            "arsis: 1\nscore: \"c: d.mid\" # x\n" + rest);
  EXPECT_EQ(moved("score: \"a\\x2emid\"\n", "b.mid"), "none");  // written with an escape
}

}  // namespace
}  // namespace arsis
