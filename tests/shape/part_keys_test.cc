// Notes of one key and channel kept apart.
#include <gtest/gtest.h>

#include <vector>

#include "score_builder.h"
#include "shape/articulation.h"

namespace arsis {
namespace {

struct StrikeRow {
  double onset, end;
  int velocity;
  int part;
};

// Plays these notes of one key; both parts share a channel where `shared`.
std::vector<PerformedNote> parted(const std::vector<StrikeRow>& rows, bool shared) {
  Score score;
  score.parts = {{"", 0, 1, 0}, {"", 1, 2, static_cast<std::uint8_t>(shared ? 0 : 1)}};
  std::vector<PerformedNote> notes;
  for (const StrikeRow& row : rows) {
    Note note;
    note.part = static_cast<std::uint16_t>(row.part);
    note.onset = {row.onset};
    score.notes.push_back(note);
    notes.push_back({{row.onset}, {row.end}, Velocity::clamped(row.velocity)});
  }
  part_keys(notes, score);
  return notes;
}

TEST(PartKeys, SoundsHandsThatMeetOnAKeyAsOneNote) {
  const auto notes = parted({{1.0, 2.0, 60, 0}, {1.003, 3.0, 80, 1}}, true);
  EXPECT_TRUE(notes[0].sounds);
  EXPECT_FALSE(notes[1].sounds);
  EXPECT_EQ(notes[0].end.value, 3.0);
  EXPECT_EQ(notes[0].velocity.value(), 80);
}

TEST(PartKeys, EndsANoteBeforeTheOtherHandStrikesItsKey) {
  const auto notes = parted({{1.0, 3.0, 60, 0}, {2.0, 4.0, 80, 1}}, true);
  EXPECT_TRUE(notes[1].sounds);
  EXPECT_EQ(notes[0].end.value, 2.0);
}

TEST(PartKeys, GoesByPerformedOnsetsWhereALeadCrossesThem) {
  const auto notes = parted({{1.030, 3.0, 60, 1}, {1.010, 2.0, 80, 0}}, true);
  EXPECT_EQ(notes[1].end.value, 1.030);
  EXPECT_EQ(notes[0].end.value, 3.0);
}

TEST(PartKeys, SoundsWhatTheScoreStrikesTogetherAsOneNoteWhateverTheLead) {
  Score score;
  score.parts = {{"", 0, 1, 0}, {"", 1, 2, 0}};
  score.notes.resize(2);  // both at beat 0
  score.notes[1].part = 1;
  std::vector<PerformedNote> notes = {{{0.0}, {0.5}, Velocity::clamped(80)},
                                      {{0.035}, {2.0}, Velocity::clamped(50)}};
  part_keys(notes, score);
  EXPECT_TRUE(notes[0].sounds);
  EXPECT_FALSE(notes[1].sounds);
  EXPECT_EQ(notes[0].end.value, 2.0);
  EXPECT_EQ(notes[0].velocity.value(), 80);
}

TEST(PartKeys, CutsALongNoteAtEachStrikeOfItsKey) {
  const auto notes =
      parted({{1.0, 9.0, 60, 0}, {2.0, 3.0, 60, 1}, {4.0, 9.0, 60, 1}, {5.0, 6.0, 60, 0}}, true);
  EXPECT_EQ(notes[0].end.value, 2.0);
  EXPECT_EQ(notes[1].end.value, 3.0);
  EXPECT_EQ(notes[2].end.value, 5.0);
}

TEST(PartKeys, LeavesOtherChannelsAlone) {
  const auto notes = parted({{1.0, 3.0, 60, 0}, {1.0, 4.0, 80, 1}}, false);
  EXPECT_TRUE(notes[0].sounds);
  EXPECT_TRUE(notes[1].sounds);
  EXPECT_EQ(notes[0].end.value, 3.0);
}

}  // namespace
}  // namespace arsis
