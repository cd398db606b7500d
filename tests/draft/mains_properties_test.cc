// What no choice of mains depends on: the key and the values that the music is written in, and its
// tempo. Over random music with random plans.
#include <gtest/gtest.h>

#include <cmath>

#include "draft/drafted.h"
#include "draft/landing.h"
#include "property.h"
#include "shape/random_music.h"

namespace arsis::test {
namespace {

// Room to go down to, for the lowest note of random music is C3.
constexpr int kMostSemitones = 24;

Music music_with_key_signature() {
  Music music = random_music({.fermatas = true});
  if (any(0, 2) == 0) music.score.keys.push_back({{0.0}, any(-5, 6), any(0, 2) == 0});
  return music;
}

Score transposed(Score score, int semitones) {
  for (Note& note : score.notes) note.key = static_cast<std::uint8_t>(note.key + semitones);
  for (KeySignature& key : score.keys) {
    key.sharps = ((key.sharps + 7 * semitones + 5) % 12 + 12) % 12 - 5;
  }
  return score;
}

// In values twice as long: 4/4 becomes 4/2.
Score in_longer_values(Score score) {
  for (Note& note : score.notes) {
    note.onset = note.onset * 2.0;
    note.end = note.end * 2.0;
  }
  std::vector<Bar> bars(score.bars.all().begin(), score.bars.all().end());
  for (Bar& bar : bars) {
    bar.span = {bar.span.begin * 2.0, bar.span.end * 2.0};
    bar.downbeat = bar.downbeat * 2.0;
    bar.signature.beat_unit /= 2;
  }
  score.bars = Bars::from(std::move(bars));
  return score;
}

Mains mains_of(const Score& score, const Plan& plan) {
  const Result<BoundPlan> bound = bind_plan(plan, score);
  if (!bound) RC_FAIL(to_string(bound.diagnostics().front()));
  const Printed printed;
  return choose_mains(Material{score, *bound, printed}, structure_of(*bound));
}

void expect_same(const Choice& one, const Choice& other) {
  RC_ASSERT(one.main == other.main);
  RC_ASSERT(one.doubtful == other.doubtful);
  RC_ASSERT(one.by_pattern == other.by_pattern);
  RC_ASSERT(std::abs(one.margin - other.margin) < 1e-9);
  RC_ASSERT(one.candidates.size() == other.candidates.size());
}

void expect_same(const Mains& one, const Mains& other) {
  RC_ASSERT(one.phrases.size() == other.phrases.size());
  RC_ASSERT(one.sentences.size() == other.sentences.size());
  RC_ASSERT(one.piece.has_value() == other.piece.has_value());
  for (std::size_t i = 0; i < one.phrases.size(); ++i) {
    expect_same(one.phrases[i], other.phrases[i]);
  }
  for (std::size_t i = 0; i < one.sentences.size(); ++i) {
    expect_same(one.sentences[i], other.sentences[i]);
  }
  if (one.piece) expect_same(*one.piece, *other.piece);
}

TEST(Mains, AreTheSameInEveryKey) {
  EXPECT_TRUE(holds(2'000, [] {
    const Music music = music_with_key_signature();
    const int semitones = any(-kMostSemitones, kMostSemitones + 1);
    expect_same(mains_of(music.score, music.plan),
                mains_of(transposed(music.score, semitones), music.plan));
  }));
}

TEST(Mains, AreTheSameInLongerValues) {
  EXPECT_TRUE(holds(2'000, [] {
    const Music music = music_with_key_signature();
    expect_same(mains_of(music.score, music.plan),
                mains_of(in_longer_values(music.score), music.plan));
  }));
}

TEST(Mains, AreTheSameAtEveryTempo) {
  EXPECT_TRUE(holds(500, [] {
    const Music music = music_with_key_signature();
    expect_same(mains_of(music.score, music.plan),
                mains_of(with_speed(music.score, any(1, 40) / 10.0), music.plan));
  }));
}

void expect_within_range(const Choice& choice) {
  RC_ASSERT(choice.main < choice.candidates.size());
  for (const Candidate& candidate : choice.candidates) {
    for (const Finding& finding : candidate.findings) {
      RC_ASSERT(std::abs(finding.score) <= 1.0 + 1e-12);
      RC_ASSERT(finding.score != 0.0 || finding.words.empty());
    }
  }
}

TEST(Evidence, StaysWithinItsRange) {
  EXPECT_TRUE(holds(1'000, [] {
    const Music music = music_with_key_signature();
    const Mains mains = mains_of(music.score, music.plan);
    for (const Choice& choice : mains.phrases) expect_within_range(choice);
    for (const Choice& choice : mains.sentences) expect_within_range(choice);
  }));
}

TEST(Mains, OfAnEmptyScoreAreNone) {
  const Score score;
  const BoundPlan bound;
  const Printed printed;
  const Material material{score, bound, printed};
  EXPECT_TRUE(choose_mains(material, {}).phrases.empty());
  // One block over nothing.
  const Structure structure{{{4.0}, {0.0}}, {{{0.0}, {4.0}}, {{4.0}, {8.0}}}, {0}, {0}};
  const Mains mains = choose_mains(material, structure);
  ASSERT_EQ(mains.phrases.size(), 1u);
  EXPECT_TRUE(mains.phrases[0].doubtful);
  EXPECT_FALSE(mains.piece);
  for (const Landing& landing : landings(surface_of(material), structure.motifs)) {
    EXPECT_EQ(landing.kind, LandingKind::kSilent);
  }
}

}  // namespace
}  // namespace arsis::test
