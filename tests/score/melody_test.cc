// Which notes make the line that a listener follows.
#include "score/melody.h"

#include <gtest/gtest.h>

#include <string>

#include "score_builder.h"

namespace arsis {
namespace {

using test::score_of;
using test::ScoreText;

// The line of the first part as "key@onset ..." in quarter notes.
std::string line_of(const Score& score, std::vector<bool> in_part) {
  in_part.resize(score.parts.size());
  std::string text;
  for (const std::size_t i : melody_line(score, in_part)) {
    text +=
        std::to_string(score.notes[i].key) + "@" + short_number(score.notes[i].onset.value) + " ";
  }
  return text;
}

TEST(MelodyLine, GoesAlongTheTopNotes) {
  struct Row {
    const char* what;
    const char* notes;
    const char* line;
  };
  constexpr Row kRows[] = {
      {"a single voice", "C5 D5 E5", "72@0 74@1 76@2 "},
      {"the highest of a chord", "C4+E4+G4 C4+F4+A4", "67@0 69@1 "},
      {"not inner voices under a held note", "C5/4 @1 E4 F4 @4 D5", "72@0 74@4 "},
      {"a legato overlap is no inner voice", "C5/1.2 @1 B4/1.2 @2 A4", "72@0 71@1 69@2 "},
      {"an overlap of more than a quarter is one", "C5/2 @1 B4 @2 A4", "72@0 69@2 "},
      {"a higher note over a held one goes on", "C5/4 @1 E5 @4 D5", "72@0 76@1 74@4 "},
      {"not the accompaniment through a rest", "C5 @1 C3 @2 D5", "72@0 74@2 "},
      {"an octave under one neighbour is enough", "C#5 C4 C5", "73@0 60@1 72@2 "},
      {"and under the other", "C5 C4 C#5", "72@0 60@1 73@2 "},
      {"an octave down is still the line", "C5 C4 C5", "72@0 60@1 72@2 "},
      {"a low beginning and a low end stay", "C3 C5 C3", "48@0 72@1 48@2 "},
      {"nothing of nothing", "", ""}};
  for (const Row& row : kRows)
    EXPECT_EQ(line_of(score_of(row.notes), {true}), row.line) << row.what;
}

TEST(MelodyLine, HearsOnlyItsOwnParts) {
  const Score score = score_of(ScoreText{.parts = {"C5/2 D5/2", "@1 G5 @3 A5"}});
  EXPECT_EQ(line_of(score, {true, false}), "72@0 74@2 ");
  EXPECT_EQ(line_of(score, {false, true}), "79@1 81@3 ");
  EXPECT_EQ(line_of(score, {true, true}), "72@0 79@1 74@2 81@3 ");
  EXPECT_EQ(line_of(score, {false, false}), "");
}

TEST(MelodyLine, PassesOverGraceNotes) {
  Score score = score_of("C5 @0.9 E5/0.1 @1 D5");
  score.notes[1].grace = true;
  EXPECT_EQ(line_of(score, {true}), "72@0 74@1 ");
}

}  // namespace
}  // namespace arsis
