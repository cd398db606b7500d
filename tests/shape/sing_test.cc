// The sung melody, message by message: what an instrument that obeys MIDI makes of them.
#include "shape/sing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "property.h"
#include "shape/bound.h"
#include "shape/perform.h"
#include "shape/random_music.h"

namespace arsis {
namespace {

const Span kAll{{0.0}, {1e5}};

// The voices as they are at one beat, by what MIDI 1.0 and General MIDI 2 say of the messages.
struct VoiceState {
  double semitones = 0.0;  // of the bend
  int expression = 127;
};

// The state of each channel after all messages at or before the beat.
std::array<VoiceState, 2> state_at(const Sung& sung, Beats beat) {
  std::array<VoiceState, 2> voices;
  for (const Message& message : sung.score.messages) {
    if (message.at > beat) break;
    const auto bytes = sung.score.bytes_of(message);
    if (bytes[0] == 0xFF) continue;
    VoiceState& voice = voices[bytes[0] & 0x0F];
    if ((bytes[0] & 0xF0) == 0xE0) {
      voice.semitones = ((bytes[1] | bytes[2] << 7) - 8192) / 8192.0 * kBendRange;
    } else if ((bytes[0] & 0xF0) == 0xB0 && bytes[1] == 11) {
      voice.expression = bytes[2];
    }
  }
  return voices;
}

// The tone that sounds at a beat; -1 for none.
int tone_at(const Sung& sung, Beats beat) {
  for (std::size_t i = sung.score.notes.size(); i-- > 0;) {
    const Note& note = sung.score.notes[i];
    if (note.onset <= beat && beat < note.end) return static_cast<int>(i);
  }
  return -1;
}

double pitch_at(const Sung& sung, Beats beat) {
  const Note& tone = sung.score.notes.at(static_cast<std::size_t>(tone_at(sung, beat)));
  return tone.key + state_at(sung, beat)[tone.part].semitones;
}

double level_at(const Sung& sung, Beats beat) {
  const Note& tone = sung.score.notes.at(static_cast<std::size_t>(tone_at(sung, beat)));
  const int expression = state_at(sung, beat)[tone.part].expression;
  return level_of(tone.velocity).value + 40.0 * std::log10(expression / 127.0);
}

const std::string kForte = "dynamics: [{at: 1:1, mark: f}]\n";
const std::string kTwoBars =
    kForte + "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /], main: 1}]\n";

Sung sung(const Score& score, const std::string& plan) {
  return sing(score, test::bound(score, plan), {}, kAll, kChoirProgram);
}

TEST(Singing, HoldsAMotifAsOneToneAndReachesEveryPitchWithItsOnset) {
  const Score score = test::score_of("C5 D5 G4 A4 B4 E5/2 D5");
  const Sung voice = sung(score, kTwoBars);
  ASSERT_EQ(voice.score.notes.size(), 2U);
  for (const Note& note : score.notes) {
    EXPECT_NEAR(pitch_at(voice, note.onset), note.key, 0.005) << note.onset.value;
    EXPECT_NEAR(pitch_at(voice, note.end - Beats{0.3}), note.key, 0.005) << note.onset.value;
  }
}

TEST(Singing, GlidesOneWayOnlyAndFasterAtFirst) {
  const Sung voice = sung(test::score_of("C5/2 G5/2 G4/2 C5/2"), kTwoBars);
  // 120 ms at 120 quarter notes a minute are 0.24 of one.
  EXPECT_NEAR(pitch_at(voice, {1.75}), 72.0, 0.005);
  std::vector<double> pitches;
  for (int i = 0; i <= 24; ++i) pitches.push_back(pitch_at(voice, {1.76 + i / 100.0}));
  EXPECT_TRUE(std::ranges::is_sorted(pitches));
  EXPECT_NEAR(pitches.back(), 79.0, 0.005);
  // 1 - (1 - 1/2)^2: three quarters of the way in half the time.
  EXPECT_NEAR(pitch_at(voice, {1.885}), 72.0 + 7.0 * 0.75, 0.05);
}

TEST(Singing, SetsTheBendsRangeByRegisteredParameterZeroBeforeAnythingElse) {
  // Source: MIDI 1.0 Detailed Specification, registered parameter 0, pitch bend sensitivity.
  const Sung voice = sung(test::score_of("C5 D5 E5 F5 G5 F5 E5 D5"), kTwoBars);
  std::string sent;
  for (const Message& message : voice.score.messages) {
    const auto bytes = voice.score.bytes_of(message);
    if (bytes[0] == 0xB0 && bytes[1] != 11) {
      sent += std::to_string(bytes[1]) + "=" + std::to_string(bytes[2]) + " ";
    }
    if ((bytes[0] & 0xF0) == 0xE0) break;
  }
  EXPECT_EQ(sent, "101=0 100=0 6=24 38=0 101=127 100=127 ");
}

TEST(Singing, BeginsAToneAnewWhereAVoiceWould) {
  struct Case {
    const char* what;
    const char* melody;
    std::string marks;
    std::size_t tones;
  };
  const std::vector<Case> cases = {
      {"two motifs", "C5 D5 E5 F5 G5 F5 E5 D5", "", 2},
      {"a rest", "C5 D5 r F5 G5 F5 E5 D5", "", 3},
      {"a repeated note", "C5 C5 E5 F5 G5 F5 E5 D5", "", 3},
      {"a staccato", "C5 D5 E5 F5 G5 F5 E5 D5", "marks: [{at: 1:2, mark: staccato}]\n", 3},
      {"the small gaps of an export", "C5/0.95 @1 D5/0.95 @2 E5 F5 G5 F5 E5 D5", "", 2},
      {"farther than the bend reaches", "C2 C7 D7 E7 G5 F5 E5 D5", "", 3},
  };
  for (const Case& each : cases) {
    EXPECT_EQ(sung(test::score_of(each.melody), each.marks + kTwoBars).score.notes.size(),
              each.tones)
        << each.what;
  }
}

TEST(Singing, GrowsWithinANoteThatLeadsToTheGoal) {
  // The second motif holds one note until its goal, the last beat of the piece.
  const Sung voice = sung(test::score_of("C5 D5 E5 F5 G5/3 C5"), kTwoBars);
  std::vector<double> levels;
  for (double beat = 4.05; beat < 7.0; beat += 0.1) levels.push_back(level_at(voice, {beat}));
  EXPECT_TRUE(std::ranges::is_sorted(levels));
  EXPECT_GT(levels.back() - levels.front(), 1.5);  // dB, in a single note
}

TEST(Singing, DoesNotSwellInADiminuendo) {
  const std::string plan =
      "dynamics: [{at: 1:1, mark: f}, {from: 2:1, to: 2:4, hairpin: dim, mark: p}]\n"
      "motif: {length: 1 bar, from: 1:1}\n";
  const Score score = test::score_of("C5 D5 E5 F5 G5/3 C5");
  const Sung kept = sung(score, plan + "sentences: [{phrases: [u /], main: 1}]\n");
  for (double beat = 4.0; beat < 6.9; beat += 0.1) {
    EXPECT_LE(level_at(kept, {beat + 0.1}), level_at(kept, {beat}) + 1e-9) << beat;
  }
  EXPECT_LT(level_at(kept, {6.9}), level_at(kept, {4.1}) - 1.0);
}

TEST(Singing, EndsWhereThePerformanceBreathes) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 F5 E5 D5");
  const BoundPlan plan = test::bound(score, kTwoBars);
  const Sung voice = sing(score, plan, {}, kAll, kChoirProgram);
  const Shaped shaped = perform(score, plan, {});
  ASSERT_EQ(voice.performance.notes.size(), 2U);
  EXPECT_EQ(voice.performance.notes[0].end, shaped.performance.notes[3].end);
  EXPECT_EQ(voice.performance.notes[1].end, shaped.performance.notes[7].end);
  EXPECT_LT(voice.performance.notes[0].end, shaped.performance.time.seconds_at({4.0}));
}

TEST(Singing, KeepsToTheSpanAndTakesTheProgramAskedFor) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 F5 E5 D5");
  const BoundPlan plan = test::bound(score, kTwoBars);
  const Sung voice = sing(score, plan, {}, {{2.0}, {5.0}}, kStringsProgram);
  ASSERT_EQ(voice.score.notes.size(), 2U);
  EXPECT_EQ(voice.score.notes[0].onset, Beats{2.0});
  EXPECT_NEAR(pitch_at(voice, {2.0}), 76.0, 0.005);
  EXPECT_EQ(voice.score.notes[1].end, Beats{5.0});
  const auto first = voice.score.bytes_of(voice.score.messages.front());
  EXPECT_EQ(first[0], 0xC0);
  EXPECT_EQ(first[1], kStringsProgram);
  EXPECT_TRUE(sing(score, plan, {}, {{8.0}, {9.0}}, 0).score.notes.empty());
}

TEST(SingingProperties, NeverPassesTheCeilingAndNeverOverlaps) {
  EXPECT_TRUE(test::holds(1'000, [] {
    const test::Music music = test::random_music();
    RC_PRE(!music.bound.melody.empty());
    const Layers layers = test::random_layers();
    const Sung voice = sing(music.score, music.bound, layers, kAll, kChoirProgram);
    const Shaped shaped = perform(music.score, music.bound, layers);
    for (const std::size_t i : music.bound.melody) {
      const Note& note = music.score.notes[i];
      // A note that a longer one of the line covers is not heard apart.
      const int tone = tone_at(voice, note.onset);
      if (tone < 0 || std::abs(pitch_at(voice, note.onset) - note.key) > 0.05) continue;
      const NoteLevel& level = shaped.levels[i];
      const double most = std::max(std::min(level.ceiling + level.lift, Decibels{0.0}).value,
                                   level_of(Velocity::clamped(1)).value);
      RC_ASSERT(level_at(voice, note.onset) <= most + 1e-6);
    }
    std::array<Seconds, 2> ends{};
    for (std::size_t i = 0; i < voice.score.notes.size(); ++i) {
      Seconds& end = ends[voice.score.notes[i].part];
      RC_ASSERT(voice.performance.notes[i].onset >= end);
      RC_ASSERT(voice.performance.notes[i].end > voice.performance.notes[i].onset);
      end = voice.performance.notes[i].end;
    }
  }));
}

TEST(SingingProperties, HasTheSameNotesAndMessagesUnderAllLayers) {
  EXPECT_TRUE(test::holds(500, [] {
    const test::Music music = test::random_music();
    const Sung one = sing(music.score, music.bound, test::random_layers(), kAll, 0);
    const Sung other = sing(music.score, music.bound, test::random_layers(), kAll, 0);
    RC_ASSERT(one.score.notes.size() == other.score.notes.size());
    RC_ASSERT(one.score.messages.size() == other.score.messages.size());
    for (std::size_t i = 0; i < one.score.messages.size(); ++i) {
      RC_ASSERT(one.score.messages[i].at == other.score.messages[i].at);
    }
  }));
}

}  // namespace
}  // namespace arsis
