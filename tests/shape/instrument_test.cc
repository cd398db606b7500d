// Levels become velocities of the instrument at hand; nothing else of a performance changes.
#include "shape/instrument.h"

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "bound.h"
#include "score_builder.h"
#include "shape/perform.h"

namespace arsis {
namespace {

// Louder than the law at every velocity: L = 20 log10(v / 127).
SharedLevels half_law() {
  return std::make_shared<const LevelTable>(LevelTable::of(
      {{60, {{Velocity::clamped(1), {-42.0761}}, {Velocity::clamped(127), {0.0}}}}}));
}

void add_message(Score& score, double at, std::uint16_t track, std::uint32_t sequence,
                 const std::vector<std::uint8_t>& bytes) {
  Message message;
  message.at = {at};
  message.track = track;
  message.sequence = sequence;
  message.first = static_cast<std::uint32_t>(score.message_bytes.size());
  message.size = static_cast<std::uint32_t>(bytes.size());
  score.message_bytes.insert(score.message_bytes.end(), bytes.begin(), bytes.end());
  score.messages.push_back(message);
}

TEST(ProgramsOf, FollowsTheChannelsLastChangeBeforeTheNote) {
  Score score = test::score_of(test::ScoreText{.parts = {"C5 D5 E5 F5", "C4 C4 C4 C4"}});
  // Notes by onset then part: sequences 0, 1 at beat 0, 2, 3 at beat 1, and so on.
  add_message(score, 0.5, 0, 100, {0xC0, 5});
  add_message(score, 1.0, 0, 0, {0xC0, 6});    // before the track's note of that moment
  add_message(score, 2.0, 0, 100, {0xC0, 7});  // after it: from the next moment on
  add_message(score, 2.0, 1, 0, {0xC1, 8});
  add_message(score, 3.0, 1, 100, {0xC0, 9});  // after a note of its track
  add_message(score, 3.0, 1, 101, {0xB1, 7, 1});
  EXPECT_EQ(programs_of(score), (std::vector<std::uint8_t>{0, 0, 6, 0, 6, 8, 7, 8}));
}

TEST(ProgramsOf, PassesOverWhatIsNoProgramChange) {
  Score score = test::score_of("C5 D5");
  add_message(score, 0.0, 0, 0, {});
  add_message(score, 0.0, 0, 0, {0xC0});
  add_message(score, 0.0, 0, 0, {0xC0, 1, 2});
  add_message(score, 0.0, 0, 0, {0xFF, 0x01, 0xC0, 3});
  add_message(score, 0.0, 0, 0, {0xC1, 3});
  EXPECT_EQ(programs_of(score), (std::vector<std::uint8_t>{0, 0}));
}

TEST(Instrument, ChangesVelocitiesAloneAndNeverPassesTheLevel) {
  const Score score = test::two_hands("C5!100 D5!40 E5!90 F5!70", "C3!80 r C3!20 G2");
  const BoundPlan plan = test::bound(
      score, "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [/]}]\n", test::kTwoHands);
  const Shaped law = perform(score, plan);
  Instrument instrument;
  instrument.by_program[0] = half_law();
  const Shaped half = perform(score, plan, {}, instrument);
  const LevelTable& table = *instrument.by_program[0];
  bool differs = false;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const PerformedNote& a = law.performance.notes[i];
    const PerformedNote& b = half.performance.notes[i];
    EXPECT_EQ(a.onset, b.onset);
    EXPECT_EQ(a.end, b.end);
    differs = differs || a.velocity != b.velocity;
    const Decibels level = half.levels[i].level;
    EXPECT_EQ(b.velocity, table.velocity_for(level, score.notes[i].key));
    EXPECT_LE(table.level_of(b.velocity, score.notes[i].key).value, level.value + 1e-3);
  }
  EXPECT_TRUE(differs);
}

// The velocity of every note with `instrument`, all levels at -20 dB.
std::vector<int> velocities_with(const Instrument& instrument, const Score& score) {
  std::vector<PerformedNote> notes(score.notes.size());
  const std::vector<NoteLevel> levels(notes.size(), NoteLevel{{0.0}, {0.0}, {0.0}, {-20.0}});
  apply_instrument(notes, levels, score, instrument);
  std::vector<int> velocities;
  for (const PerformedNote& note : notes) velocities.push_back(note.velocity.value());
  return velocities;
}

TEST(Instrument, GoesByPartThenByProgramThenByTheLaw) {
  constexpr int kAsItWas = 64;  // of a note that nobody has touched
  constexpr int kHalf = 12;     // 127 * 10^(-20 / 20) = 12.7, and never above
  Score score = test::score_of(test::ScoreText{.parts = {"C5", "C4"}});
  add_message(score, 0.0, 1, 0, {0xC1, 5});
  Instrument instrument;
  EXPECT_TRUE(instrument.follows_law());
  EXPECT_EQ(velocities_with(instrument, score), (std::vector<int>{kAsItWas, kAsItWas}));
  instrument.by_program[5] = half_law();
  EXPECT_FALSE(instrument.follows_law());
  EXPECT_EQ(velocities_with(instrument, score), (std::vector<int>{kAsItWas, kHalf}));
  instrument.by_part = {
      std::make_shared<const LevelTable>(
          LevelTable::of({{60, {{Velocity::clamped(1), {-20.0}}, {Velocity::clamped(127), {}}}}})),
      nullptr};
  EXPECT_EQ(velocities_with(instrument, score), (std::vector<int>{1, kHalf}));
  instrument.by_program[5] = std::make_shared<const LevelTable>();  // sounds on no key
  EXPECT_EQ(velocities_with(instrument, score), (std::vector<int>{1, kAsItWas}));
}

// Source: General MIDI 1: channel 10 holds drums, whose programs are others.
TEST(Instrument, LeavesDrumsToTheLawUnlessTheirPartSaysOtherwise) {
  Score score = test::score_of("C3");
  score.parts[0].channel = 9;
  Instrument instrument;
  instrument.by_program.fill(half_law());
  EXPECT_EQ(velocities_with(instrument, score), std::vector<int>{64});
  instrument.by_part = {half_law()};
  EXPECT_EQ(velocities_with(instrument, score), std::vector<int>{12});
}

}  // namespace
}  // namespace arsis
