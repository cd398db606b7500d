// Where the last interval of a motif lands (common practice, no source).
#include "draft/landing.h"

#include <gtest/gtest.h>

#include "draft/drafted.h"

namespace arsis::test {
namespace {

struct Row {
  std::string melody;  // motifs from beat 4 to beat 4
  LandingKind kind;
  std::string words;  // of the first motif
};

TEST(Landing, TellsWhereAMotifsLastIntervalArrives) {
  const std::vector<Row> rows = {
      {"r/3 G4 C5 r/3 C5", LandingKind::kDownbeat, "lands on the downbeat: C5 at 2:1"},
      {"r/3 G4 D5 C5 r/2 C5", LandingKind::kFeminine,
       "feminine ending: C5 at 2:2, after the stronger 2:1"},
      {"r/3 G4 r/4 C5", LandingKind::kRest, "stops at G4 at 1:4, before a rest on the downbeat"},
      {"r/3 G4/2 r/3 C5", LandingKind::kBeat, "lands on G4 at 1:4"},  // tied over the bar line
      {"r/3 G4/0.5 A4/2.5 r/2 C5", LandingKind::kBeat, "lands on A4 at 1:4.5"},
      {"r/3 r/4 C5", LandingKind::kSilent, "no melody note"},
  };
  for (const Row& row : rows) {
    SCOPED_TRACE(row.melody);
    const Excerpt music = phrase(
        row.melody + "/4", "motif: {length: 1 bar, from: 1:4}\nsentences: [{phrases: [u /]}]\n");
    const std::vector<Landing> all = landings(music.surface(), music.structure.motifs);
    ASSERT_EQ(all.size(), 2u);
    EXPECT_EQ(all[0].kind, row.kind);
    EXPECT_EQ(all[0].words, row.words);
  }
}

}  // namespace
}  // namespace arsis::test
