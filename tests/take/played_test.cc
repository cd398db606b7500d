// A take from a MIDI file: notes in seconds, in the order that numbers them, and its pedals apart.
#include "take/played.h"

#include <gtest/gtest.h>

#include "score_builder.h"

namespace arsis {
namespace {

TEST(Take, HasItsNotesAtTheTimesOfTheTempoMap) {
  test::ScoreText text;
  text.parts = {"C5 D5 E5!90"};
  text.tempo = {{{0.0}, 1'000'000}, {{1.0}, 500'000}};
  const Result<Take> take = take_of(test::score_of(text));
  ASSERT_TRUE(take);
  ASSERT_EQ(take->notes.size(), 3u);
  EXPECT_EQ(take->notes[0].end, Seconds{1.0});
  EXPECT_EQ(take->notes[1].onset, Seconds{1.0});
  EXPECT_EQ(take->notes[2].onset, Seconds{1.5});
  EXPECT_EQ(take->notes[2].key, 76);
  EXPECT_EQ(take->notes[2].velocity.value(), 90);
}

TEST(Take, HasItsNotesByOnsetThenKeyWhateverTheTrack) {
  test::ScoreText text;
  text.parts = {"E5 C4", "C5+G5 B3"};
  const Result<Take> take = take_of(test::score_of(text));
  ASSERT_TRUE(take);
  std::vector<int> keys;
  for (const PlayedNote& note : take->notes) keys.push_back(note.key);
  EXPECT_EQ(keys, (std::vector<int>{72, 76, 79, 59, 60}));
}

TEST(Take, KeepsThePedalsAndNoOtherController) {
  Score file = test::score_of("C5 D5");
  file.message_bytes = {0xB0, 64, 127, 0xB3, 67, 5, 0xB0, 7, 100, 0xC0, 64};
  file.messages = {
      {{0.0}, 0, 0, 3, 0}, {{1.0}, 1, 3, 3, 0}, {{1.0}, 2, 6, 3, 0}, {{1.0}, 3, 9, 2, 0}};
  const Result<Take> take = take_of(file);
  ASSERT_TRUE(take);
  ASSERT_EQ(take->pedals.size(), 2u);
  EXPECT_EQ(take->pedals[0].value, 127);
  EXPECT_EQ(take->pedals[1].controller, 67);
  EXPECT_EQ(take->pedals[1].at, Seconds{0.5});
}

TEST(Take, OfMoreNotesThanAnybodyPlaysIsRefused) {
  Score file = test::score_of("C5");
  file.notes.resize(Take::kMostNotes, file.notes[0]);
  EXPECT_TRUE(take_of(file));
  file.notes.push_back(file.notes[0]);
  const Result<Take> take = take_of(file);
  ASSERT_FALSE(take);
  EXPECT_EQ(to_string(take.diagnostics().front()),
            "test.mid: holds 50001 notes; at most 50000 notes of a take are read");
}

}  // namespace
}  // namespace arsis
