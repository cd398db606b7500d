// The words about sound on the command line.
#include "tool/audio_options.h"

#include <gtest/gtest.h>

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace arsis {
namespace {

// What the program would make of these words.
Result<AudioRequest> parse(std::vector<std::string> words) {
  CLI::App app;
  AudioOptions options;
  add_audio_options(app, options);
  std::reverse(words.begin(), words.end());  // as CLI11 takes them
  app.parse(words);
  return audio_request_of(options);
}

TEST(AudioOptions, HaveDefaultsThatChangeNothing) {
  const Result<AudioRequest> request = parse({});
  ASSERT_TRUE(request);
  EXPECT_EQ(request->soundfont, "");
  EXPECT_TRUE(request->reverb);
  EXPECT_EQ(request->sample_rate, 48'000);
  EXPECT_FALSE(request->depth);
  EXPECT_FALSE(request->level.loudness);
  EXPECT_FALSE(request->level.true_peak);
}

TEST(AudioOptions, AreUnderstoodInTheWaysPeopleWriteThem) {
  struct Row {
    std::vector<std::string> words;
    int rate = 48'000;
    std::optional<SampleDepth> depth = std::nullopt;
    std::optional<double> loudness = std::nullopt;
    std::optional<double> peak = std::nullopt;
  };
  const std::vector<Row> rows = {
      {{"--rate", "44100"}, 44'100},
      {{"--rate", "44.1 kHz"}, 44'100},
      {{"--rate", "96000 Hz"}, 96'000},
      {{"--rate=22050"}, 22'050},
      {{"--bits", "16"}, 48'000, SampleDepth::k16},
      {{"--bits", "24"}, 48'000, SampleDepth::k24},
      {{"--bits", "32F"}, 48'000, SampleDepth::kFloat},
      {{"--loudness", "-18"}, 48'000, {}, -18.0},
      {{"--loudness", "-18 LUFS"}, 48'000, {}, -18.0},
      {{"--loudness=-16.5lufs"}, 48'000, {}, -16.5},
      {{"--peak", "-1"}, 48'000, {}, {}, -1.0},
      {{"--peak", "-3 dBTP"}, 48'000, {}, {}, -3.0},
      {{"--peak", "0"}, 48'000, {}, {}, 0.0},
      {{"--loudness", "-20", "--peak", "-2 dB"}, 48'000, {}, -20.0, -2.0},
  };
  for (const auto& [words, rate, depth, loudness, peak] : rows) {
    SCOPED_TRACE(words.back());
    const Result<AudioRequest> request = parse(words);
    ASSERT_TRUE(request);
    EXPECT_EQ(request->sample_rate, rate);
    EXPECT_EQ(request->depth, depth);
    ASSERT_EQ(request->level.loudness.has_value(), loudness.has_value());
    ASSERT_EQ(request->level.true_peak.has_value(), peak.has_value());
    if (loudness) {
      EXPECT_EQ(request->level.loudness->value, *loudness);
    }
    if (peak) {
      EXPECT_EQ(request->level.true_peak->value, *peak);
    }
  }
  EXPECT_FALSE(parse({"--reverb", "off"})->reverb);
  EXPECT_EQ(parse({"--soundfont", "a b.sf2"})->soundfont, "a b.sf2");
}

TEST(AudioOptions, SayWhatWouldBeAccepted) {
  const std::string rate = "; write 22050 to 96000 frames a second, such as 44100 or 48000";
  const std::string loudness = "; write -50 to -5 LUFS; -18 suits practising, -14 most players";
  const std::string peak = "; write -30 to 0 dB, such as -1";
  struct Row {
    std::vector<std::string> words;
    std::string message;
  };
  const std::vector<Row> rows = {
      {{"--rate", "8000"}, "--rate cannot be '8000'" + rate},
      {{"--rate", "96001"}, "--rate cannot be '96001'" + rate},
      {{"--rate", "44100.5"}, "--rate cannot be '44100.5'" + rate},
      {{"--rate", "44.1"}, "--rate cannot be '44.1'" + rate},
      {{"--rate", "fast"}, "--rate cannot be 'fast'" + rate},
      {{"--rate", "48000 dB"}, "--rate cannot be '48000 dB'" + rate},
      {{"--bits", "8"}, "--bits cannot be '8'; write 16, 24 or 32f"},
      {{"--bits", "32"}, "--bits cannot be '32'; write 16, 24 or 32f"},
      {{"--loudness", "18"}, "--loudness cannot be '18'" + loudness},
      {{"--loudness", "-3"}, "--loudness cannot be '-3'" + loudness},
      {{"--loudness", "-18 dB"}, "--loudness cannot be '-18 dB'" + loudness},
      {{"--peak", "1"}, "--peak cannot be '1'" + peak},
      {{"--peak", "-18 LUFS"}, "--peak cannot be '-18 LUFS'" + peak},
      {{"--peak", "low"}, "--peak cannot be 'low'" + peak},
      {{"--reverb", "much"}, "--reverb cannot be 'much'; write on or off"},
  };
  for (const auto& [words, message] : rows) {
    SCOPED_TRACE(words.back());
    const Result<AudioRequest> request = parse(words);
    ASSERT_FALSE(request);
    ASSERT_EQ(request.diagnostics().size(), 1u);
    EXPECT_EQ(to_string(request.diagnostics()[0]), message);
  }
}

TEST(AudioOptions, TellAllThatIsWrongAtOnce) {
  const Result<AudioRequest> request = parse(
      {"--rate", "1", "--bits", "7", "--loudness", "loud", "--peak", "high", "--reverb", "yes"});
  ASSERT_FALSE(request);
  EXPECT_EQ(request.diagnostics().size(), 5u);
}

}  // namespace
}  // namespace arsis
