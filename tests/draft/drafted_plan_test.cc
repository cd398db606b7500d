// Drafted structures as plans: binding them gives the same blocks again and has nothing to complain
// of.
#include "draft/drafted_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "draft/drafting.h"
#include "draft/melodies.h"
#include "draft/random_score.h"
#include "property.h"

namespace arsis {
namespace {

using test::Piece;
using test::repeated;
using test::score_of;

// What binding says, but for what a draft may not help: a cell from the bar line crosses none, and
// a piece may end with a lone motif.
std::vector<std::string> complaints(const Result<BoundPlan>& bound) {
  std::vector<std::string> texts;
  for (const Diagnostic& diagnostic : bound.diagnostics()) {
    if (diagnostic.severity == Severity::kWarning &&
        (diagnostic.problem.find("no bar line") != std::string::npos ||
         diagnostic.problem.find("holds 1 motif") != std::string::npos)) {
      continue;
    }
    texts.push_back(to_string(diagnostic));
  }
  return texts;
}

// Empty where binding the plan of the best structure gives that structure's blocks and no
// complaint.
std::string differences(const Piece& piece) {
  const std::vector<ScoredStructure> found = structures(piece.material(), {});
  if (found.empty()) return "no structure";
  const Structure& structure = found.front().structure;
  const Result<BoundPlan> bound = bind_plan(plan_of(structure, piece.material()), piece.score);
  std::string text;
  for (const std::string& complaint : complaints(bound)) text += complaint + "\n";
  if (!bound) return text + "not bound";
  if (bound->motifs.size() != structure.motifs.size()) return text + "another number of motifs";
  for (std::size_t i = 0; i < structure.motifs.size(); ++i) {
    if (bound->motifs[i].span != structure.motifs[i]) {
      text += "motif " + block_name(*bound, Level::kMotif, i) + " differs\n";
    }
  }
  std::vector<std::uint32_t> phrases;
  for (const Block& phrase : bound->phrases) phrases.push_back(phrase.first);
  std::vector<std::uint32_t> sentences;
  for (const Block& sentence : bound->sentences) sentences.push_back(sentence.first);
  if (phrases != structure.phrases) text += "other phrases\n";
  if (sentences != structure.sentences) text += "other sentences\n";
  return text;
}

TEST(DraftedPlan, BindsToTheDraftedBlocks) {
  for (const test::Melody& melody : test::melodies()) {
    EXPECT_EQ(differences(Piece(score_of(melody.notes, melody.signature, melody.pickup))), "")
        << melody.name;
  }
}

TEST(DraftedPlan, BindsWhereBarsAreIrregular) {
  struct Row {
    const char* what;
    test::ScoreText text;
  };
  const std::string notes = repeated("C5 D5 E5 r F5/.5", 14);
  const Row rows[] = {
      {"a bar cut short", {.parts = {notes}, .signatures = {{{0}, {4, 4}}, {{10}, {4, 4}}}}},
      {"changing metre",
       {.parts = {notes}, .signatures = {{{0}, {3, 4}}, {{9}, {4, 4}}, {{25}, {6, 8}}}}},
      {"a pickup and a first upbeat elsewhere", {.parts = {notes}, .pickup = Beats{1.5}}},
      {"a silent beginning", {.parts = {"r/4 r/4 r/3 C5 " + notes}}},
      {"a part that begins first", {.parts = {"r/4 r/4 r/3 C5 " + notes, repeated("C3 G3", 20)}}},
      {"a melody that falls silent",
       {.parts = {"C5 D5 E5 F5 r/4 r/4 r/4 r/4 C5 D5 E5 F5", repeated("C3 G3", 20)}}},
      {"a part that ends last", {.parts = {"C5 D5 E5 F5 C5 D5 E5 F5", repeated("C3 G3", 20)}}}};
  for (const Row& row : rows) EXPECT_EQ(differences(Piece(score_of(row.text))), "") << row.what;
}

TEST(DraftedPlan, BindsWhateverTheScore) {
  EXPECT_TRUE(test::holds(2000, [] {
    const std::string text = differences(Piece(test::random_score()));
    RC_LOG() << text;
    RC_ASSERT(text.empty());
  }));
}

TEST(DraftedPlan, NamesThePartsApart) {
  test::ScoreText text;
  text.parts = {"C5 D5 E5 F5", "C4/4", "C3/4"};
  text.names = {"piano", "piano", ""};
  const Piece piece(score_of(text));
  const Plan plan = plan_of(structures(piece.material(), {}).front().structure, piece.material());
  ASSERT_EQ(plan.parts.size(), 3u);
  EXPECT_EQ(plan.parts[0].name, "piano");
  EXPECT_EQ(plan.parts[1].name, "piano, channel 2");
  EXPECT_EQ(plan.parts[2].name, "track 3");
  EXPECT_EQ(plan.parts[0].role, Role::kMelody);
}

TEST(DraftedPlan, LeavesEvenMotifsToTheCell) {
  const Piece piece(score_of("C5 " + repeated("D5 E5 F5 G5/2", 8), {3, 4}, Beats{1.0}));
  const Plan plan = plan_of(structures(piece.material(), {}).front().structure, piece.material());
  EXPECT_EQ(plan.cell->number, 1.0);
  EXPECT_EQ(to_string(plan.cell_from->position), "0:3");
  for (const SentencePlan& sentence : plan.sentences) {
    for (const PhrasePlan& phrase : sentence.phrases) {
      for (const MotifPlan& motif : phrase.motifs) EXPECT_FALSE(motif.to);
    }
  }
}

}  // namespace
}  // namespace arsis
