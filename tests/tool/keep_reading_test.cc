// A reading kept in the plan's own text: what changes, and that nothing else does.
#include "tool/keep_reading.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

struct Row {
  const char* what;
  std::string before;
  LedBlock block;
  std::size_t main;
  std::string after;
  int line;  // where it is said now
};

constexpr LedBlock phrase(std::size_t sentence, std::size_t index) {
  return {Level::kPhrase, sentence - 1, index - 1};
}
constexpr LedBlock sentence(std::size_t index) { return {Level::kSentence, index - 1, 0}; }
constexpr LedBlock kPiece = {Level::kPiece, 0, 0};

const std::string kHead =
    "arsis: 1   # by hand\nscore: 'a.mid'\n\nmotif: {length: 1 bar,from: 0:3}  # u / u\n";

const std::vector<Row>& rows() {
  static const std::vector<Row> kRows = {
      {"a phrase's motif",
       "sentences:\n  - {phrases: [u / u ,  / u], main: 2}   # / why\nmain: 1\n", phrase(1, 1), 2,
       "sentences:\n  - {phrases: [u u / ,  / u], main: 2}   # / why\nmain: 1\n", 6},
      {"a sentence's phrase", "sentences:\n  - {phrases: [u /, / u], main:  2 }  # 2\n",
       sentence(1), 0, "sentences:\n  - {phrases: [u /, / u], main:  1 }  # 2\n", 6},
      {"the piece's sentence",
       "sentences: [{phrases: [u /]}, {phrases: [/ u]}]\nmain: 2 # two\n# end", kPiece, 0,
       "sentences: [{phrases: [u /]}, {phrases: [/ u]}]\nmain: 1 # two\n# end", 6},
      {"the piece's, of which nothing was said", "sentences: # mine\n- phrases: [u /]\n", kPiece, 0,
       "main: 1\nsentences: # mine\n- phrases: [u /]\n", 5},
      {"a phrase that others are like", "sentences:\n- phrases: [u /]\n- like: 1 # so\n",
       phrase(1, 1), 0, "sentences:\n- phrases: [/ u]\n- like: 1 # so\n", 6},
      {"a phrase of a sentence like another", "sentences:\n- phrases: [u /]\n- like: 1 # so\n",
       phrase(2, 1), 0, "sentences:\n- phrases: [u /]\n- phrases: [/ u] # so\n", 7},
      {"the phrase that leads a sentence like another",
       "sentences:\n- {phrases: [u /, / u], main: 1}\n- {like: 1}\n", sentence(2), 1,
       "sentences:\n- {phrases: [u /, / u], main: 1}\n- {like: 1, main: 2}\n", 7}};
  return kRows;
}

Reading reading(std::size_t main) { return {main, "", false}; }

TEST(KeepReading, ChangesOneMainAndNothingElse) {
  for (const Row& row : rows()) {
    SCOPED_TRACE(row.what);
    const Folder folder;
    folder.write("plan.yaml", kHead + row.before);
    const std::string plan = (folder.path() / "plan.yaml").string();
    const Result<Where> kept = keep_reading(plan, row.block, reading(row.main));
    ASSERT_TRUE(kept) << to_string(kept.diagnostics().front());
    EXPECT_EQ(folder.read("plan.yaml"), kHead + row.after);
    EXPECT_EQ(kept->file, plan);
    EXPECT_EQ(kept->line, row.line);
    EXPECT_EQ(folder.files(), std::vector<std::string>{"plan.yaml"});
  }
}

TEST(KeepReading, KeepsWindowsLineEndsAndAFileWithoutALastOne) {
  const Folder folder;
  const std::string plan = (folder.path() / "plan.yaml").string();
  folder.write("plan.yaml",
               "arsis: 1\r\nscore: a.mid\r\nmotif: {length: 1 bar, from: 1:1}\r\n"
               "sentences:\r\n- phrases: [u /]");
  ASSERT_TRUE(keep_reading(plan, phrase(1, 1), reading(0)));
  EXPECT_EQ(folder.read("plan.yaml"),
            "arsis: 1\r\nscore: a.mid\r\nmotif: {length: 1 bar, from: 1:1}\r\n"
            "sentences:\r\n- phrases: [/ u]");
}

struct Refused {
  const char* what;
  std::string text;
  LedBlock block;
  std::size_t main;
  std::string error;  // behind the file's name
};

TEST(KeepReading, LeavesThePlanAloneWhereItCannot) {
  const std::vector<Refused> all = {
      {"the long form",
       kHead + "sentences: [{phrases: [{motifs: [u, {length: 2 bars, main: "
               "true}]}]}]\n",
       phrase(1, 1), 0,
       ":5:24: the main of phrase 1.1 cannot be changed in this text; write it by hand"},
      {"a block that has gone", kHead + "sentences: [{phrases: [u /]}]\n", phrase(2, 1), 0,
       ": has changed: phrase 2.1 is not as it was; begin again"},
      {"a member that has gone", kHead + "sentences: [{phrases: [u /]}]\n", phrase(1, 1), 2,
       ": has changed: phrase 1.1 is not as it was; begin again"},
      {"no plan any more", "words", phrase(1, 1), 0, ""}};
  for (const Refused& row : all) {
    SCOPED_TRACE(row.what);
    const Folder folder;
    folder.write("plan.yaml", row.text);
    const std::string plan = (folder.path() / "plan.yaml").string();
    const Result<Where> kept = keep_reading(plan, row.block, reading(row.main));
    ASSERT_FALSE(kept);
    if (!row.error.empty()) {
      EXPECT_EQ(to_string(kept.diagnostics().front()), plan + row.error);
    }
    EXPECT_EQ(folder.read("plan.yaml"), row.text);
    EXPECT_EQ(folder.files(), std::vector<std::string>{"plan.yaml"});
  }
}

}  // namespace
}  // namespace arsis::test
