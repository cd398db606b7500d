// Key finding against Krumhansl & Kessler 1982 (Psychological Review 89:334-368). The sums of the
// profiles are those of the published table; the correlations are computed from it by the formula.
#include "draft/key_finding.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "draft/pitch_names.h"

namespace arsis {
namespace {

constexpr Tonality kC{0, false};
constexpr Tonality kG{7, false};
constexpr Tonality kAMinor{9, true};
constexpr Tonality kEMinor{4, true};

// Two phrases of a nursery tune that everybody knows (from memory), as durations: C 4, D 2, E 2, F
// 2, G 4, A 2.
constexpr PitchHistogram kTune = {4, 0, 2, 0, 2, 2, 0, 4, 0, 2, 0, 0};
constexpr PitchHistogram kCTriad = {1, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0, 0};
constexpr PitchHistogram kATriad = {1, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0};
constexpr PitchHistogram kCScale = {1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 1};

TEST(KeyProfile, SumsToThePublishedTable) {
  double major = 0.0;
  double minor = 0.0;
  for (int k = 0; k < 12; ++k) {
    major += key_profile(kC, k);
    minor += key_profile({0, true}, k);
  }
  EXPECT_NEAR(major, 41.79, 1e-9);
  EXPECT_NEAR(minor, 44.51, 1e-9);
}

TEST(KeyProfile, CountsDegreesFromTheTonic) {
  EXPECT_EQ(key_profile(kG, 7), 6.35);
  EXPECT_EQ(key_profile(kG, 6), 2.88);       // its leading note
  EXPECT_EQ(key_profile(kAMinor, 0), 5.38);  // its third
}

TEST(KeyFit, EqualsTheWorkedCorrelations) {
  struct Row {
    PitchHistogram histogram;
    Tonality key;
    double fit;
  };
  const std::vector<Row> rows = {
      {kTune, kC, 0.9586},   {kTune, kG, 0.6762},        {kTune, kAMinor, 0.6153},
      {kCTriad, kC, 0.8338}, {kCTriad, kEMinor, 0.7602}, {kATriad, kAMinor, 0.8886},
      {kATriad, kC, 0.6007}, {kCScale, kC, 0.7564},      {kCScale, kAMinor, 0.7121}};
  for (const auto& [histogram, key, fit] : rows) {
    SCOPED_TRACE(pitch_class_name(key.tonic, key));
    EXPECT_NEAR(key_fit(histogram, key), fit, 5e-5);
  }
}

// The correlations of one key's profile with another's, from the same table.
TEST(KeyFit, OfAProfileTellsHowNearTwoKeysAre) {
  PitchHistogram profile{};
  for (int k = 0; k < 12; ++k) profile[static_cast<std::size_t>(k)] = key_profile(kC, k);
  EXPECT_NEAR(key_fit(profile, kC), 1.0, 1e-9);
  EXPECT_NEAR(key_fit(profile, kG), 0.591, 5e-4);
  EXPECT_NEAR(key_fit(profile, kAMinor), 0.6496, 5e-4);
  EXPECT_NEAR(key_fit(profile, {6, false}), -0.6828, 5e-4);
}

TEST(KeyFit, OfAFlatHistogramIsNothing) {
  EXPECT_EQ(key_fit({}, kC), 0.0);
  PitchHistogram flat;
  flat.fill(3.0);
  EXPECT_EQ(key_fit(flat, kAMinor), 0.0);
}

TEST(BestKey, IsTheOneThatFitsBest) {
  EXPECT_EQ(best_key(key_fits(kTune), 0), kC);
  EXPECT_EQ(best_key(key_fits(kATriad), 0), kAMinor);
}

// A diminished seventh chord fits four minor keys alike.
TEST(BestKey, AmongEqualsIsTheNextFromTheReferenceUpwards) {
  PitchHistogram diminished{};
  for (const std::size_t k : {0u, 3u, 6u, 9u}) diminished[k] = 1.0;
  const Tonality from_c = best_key(key_fits(diminished), 0);
  for (int shift = 1; shift < 12; ++shift) {
    SCOPED_TRACE(shift);
    PitchHistogram moved{};
    for (std::size_t k = 0; k < 12; ++k) {
      moved[(k + static_cast<std::size_t>(shift)) % 12] = diminished[k];
    }
    const Tonality expected{(from_c.tonic + shift) % 12, from_c.minor};
    EXPECT_EQ(best_key(key_fits(moved), shift), expected);
  }
}

TEST(Instability, GoesFromTheTonicToTheStrangerOfAll) {
  EXPECT_EQ(instability(kC, 0), 0.0);
  EXPECT_EQ(instability(kC, 1), 1.0);  // C sharp
  EXPECT_EQ(instability({0, true}, 6), 1.0);
  EXPECT_NEAR(instability(kC, 7), (6.35 - 5.19) / (6.35 - 2.23), 1e-12);
}

TEST(PitchNames, AreSpelledByTheKey) {
  struct Row {
    int key_number;
    Tonality key;
    std::string name;
  };
  const std::vector<Row> rows = {{60, kC, "C4"},
                                 {79, kC, "G5"},
                                 {0, kC, "C-1"},
                                 {61, kC, "C sharp 4"},
                                 {70, kC, "B flat 4"},
                                 {66, kC, "F sharp 4"},
                                 {66, {1, false}, "G flat 4"},  // in D flat major
                                 {61, {2, true}, "C sharp 4"},  // the leading note of D minor
                                 {68, kAMinor, "G sharp 4"},
                                 {70, {5, false}, "B flat 4"},
                                 {63, {10, false}, "E flat 4"},
                                 {77, {6, false}, "E sharp 5"},         // in F sharp major
                                 {71, {3, true}, "C flat 5"},           // in E flat minor
                                 {67, {8, true}, "F double sharp 4"},   // in G sharp minor
                                 {69, {1, false}, "B double flat 4"}};  // in D flat major
  for (const auto& [key_number, key, name] : rows) {
    EXPECT_EQ(pitch_name(key_number, key), name) << key_number << " in " << key.tonic;
  }
}

}  // namespace
}  // namespace arsis
