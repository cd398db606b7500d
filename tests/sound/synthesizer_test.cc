// The synthesizer alone: what it takes, and what comes out.
#include "sound/synthesizer.h"

#include <gtest/gtest.h>
#if defined(__SANITIZE_ADDRESS__)
#include <sanitizer/lsan_interface.h>
#endif

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "sound/soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::Wave;
using Message = std::vector<std::uint8_t>;

class Synthesis : public ::testing::Test {
 protected:
  Synthesis() { test::write_soundfont(font(), Wave::kSine); }
  std::filesystem::path font() const { return folder_.path() / "sine.sf2"; }
  Synthesizer synthesizer(const SynthesizerSettings& settings = {.reverb = false}) const {
    Result<Synthesizer> made = Synthesizer::with(font(), settings);
    EXPECT_TRUE(made);
    return *std::move(made);
  }

  Folder folder_;
};

// The next `frames` of the left channel.
std::vector<float> next(Synthesizer& synthesizer, std::size_t frames) {
  std::vector<float> both(frames * 2);
  synthesizer.render(both);
  std::vector<float> left;
  for (std::size_t i = 0; i < frames; ++i) left.push_back(both[2 * i]);
  return left;
}

double peak_of(const std::vector<float>& samples) {
  double peak = 0.0;
  for (const float sample : samples) peak = std::max(peak, double{std::abs(sample)});
  return peak;
}

TEST_F(Synthesis, SoundsWhatItLacksWithTheSoundFontBeneath) {
  const std::vector<std::filesystem::path> system = system_soundfonts();
  const auto general_midi =
      std::ranges::find_if(system, [](const auto& path) { return std::filesystem::exists(path); });
  ASSERT_NE(general_midi, system.end());
  const auto heard = [&](const std::filesystem::path& beneath, std::uint8_t program) {
    Synthesizer synthesizer = this->synthesizer({.reverb = false, .beneath = beneath});
    synthesizer.send(Message{0xC0, program});
    synthesizer.send(Message{0x90, 69, 100});
    return next(synthesizer, 9600);
  };
  constexpr std::uint8_t kChoir = 52;
  EXPECT_EQ(heard(*general_midi, 0), heard({}, 0));  // its own program is as it was
  EXPECT_GT(peak_of(heard(*general_midi, kChoir)), 0.01);
  EXPECT_NE(heard(*general_midi, kChoir), heard({}, kChoir));
  EXPECT_EQ(heard(folder_.path() / "none.sf2", 0), heard({}, 0));  // done without
}

TEST_F(Synthesis, ClicksWhereTheSoundFontHasNoPercussion) {
  for (std::uint8_t key = 75; key <= 78; ++key) {
    Synthesizer synthesizer = this->synthesizer();
    synthesizer.send(Message{0x99, key, 100});
    const double struck = peak_of(next(synthesizer, 2400));
    if (key == 76 || key == 77) {
      EXPECT_GT(struck, 0.05) << int{key};
    } else {
      EXPECT_EQ(struck, 0.0) << int{key};
    }
    synthesizer.send(Message{0x89, key, 0});
    EXPECT_LT(peak_of(next(synthesizer, 9600)), struck + 0.001) << int{key};
    EXPECT_LT(peak_of(next(synthesizer, 2400)), 1e-4) << int{key};  // it has ended
  }
}

TEST_F(Synthesis, SoundsKeysAtTheirPitchAtEveryRate) {
  for (const int rate : {8'000, 22'050, 44'100, 48'000, 96'000}) {
    SCOPED_TRACE(rate);
    Synthesizer synthesizer = this->synthesizer({.sample_rate = rate, .reverb = false});
    synthesizer.send(Message{0x90, 81, 100});  // an octave over key 69: 880 Hz
    const std::vector<float> heard = next(synthesizer, static_cast<std::size_t>(rate));
    int rises = 0;
    for (std::size_t i = 1; i < heard.size(); ++i) rises += heard[i - 1] < 0 && heard[i] >= 0;
    EXPECT_NEAR(rises, 880, 2);
  }
}

TEST_F(Synthesis, PlaysOnAllChannelsAndDrumsOnTheTenth) {
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    SCOPED_TRACE(int{channel});
    Synthesizer synthesizer = this->synthesizer();
    synthesizer.send(Message{static_cast<std::uint8_t>(0x90 | channel), 69, 100});
    // Source: General MIDI 1: channel 10 (9 from 0) holds drums, and this SoundFont has none.
    EXPECT_EQ(peak_of(next(synthesizer, 4800)) > 0.01, channel != 9);
  }
}

TEST_F(Synthesis, IgnoresWhatIsNoWholeMessage) {
  const std::vector<Message> rows = {
      {},     {0x90},       {0x90, 69},   {0x90, 69, 100, 1}, {69, 100},
      {0xF0}, {0xF0, 0xF7}, {0xF0, 0x7E}, {0xFF, 1, 2},       {0xF8},
      {0xC0}, {0xE0, 1},    {0x7F},       {0xC0, 1, 2},
  };
  Synthesizer synthesizer = this->synthesizer();
  for (const Message& row : rows) synthesizer.send(row);
  EXPECT_EQ(peak_of(next(synthesizer, 4800)), 0.0);
  synthesizer.send(Message{0x90, 69, 100});
  EXPECT_GT(peak_of(next(synthesizer, 4800)), 0.01);
}

TEST_F(Synthesis, ObeysEveryKindOfChannelMessage) {
  struct Row {
    const char* what;
    Message before;
    Message message;
    bool sounds;  // afterwards
  };
  const std::vector<Row> rows = {
      {"nothing", {}, {}, true},
      {"the note's end", {}, {0x80, 69, 0}, false},
      {"a beginning without force", {}, {0x90, 69, 0}, false},
      {"an end under the pedal", {0xB0, 64, 127}, {0x80, 69, 0}, true},
      {"no volume", {}, {0xB0, 7, 0}, false},
      {"all sound off", {}, {0xB0, 120, 0}, false},
      {"a program that is not there", {}, {0xC0, 5}, true},  // the note goes on
      {"key pressure", {}, {0xA0, 69, 1}, true},
      {"channel pressure", {}, {0xD0, 1}, true},
      {"the system reset of General MIDI", {}, {0xF0, 0x7E, 0x7F, 9, 1, 0xF7}, false},
      {"a reset that goes on elsewhere", {}, {0xF0, 0x7E, 0x7F, 9, 1, 0x00}, true},
      {"a system-exclusive of nobody", {}, {0xF0, 0x7D, 1, 2, 3, 0xF7}, true},
  };
  for (const auto& [what, before, message, sounds] : rows) {
    SCOPED_TRACE(what);
    Synthesizer synthesizer = this->synthesizer();
    synthesizer.send(before);
    synthesizer.send(Message{0x90, 69, 100});
    next(synthesizer, 4800);
    synthesizer.send(message);
    next(synthesizer, 9600);
    EXPECT_EQ(peak_of(next(synthesizer, 4800)) > 1e-3, sounds);
  }
}

TEST_F(Synthesis, BendsThePitch) {
  // Source: MIDI 1.0 and General MIDI 1: low seven bits first, 8192 is the middle, and the default
  // range is two semitones, so that three quarters of the way (12288) is one semitone up.
  Synthesizer synthesizer = this->synthesizer();
  synthesizer.send(Message{0xE0, 0x00, 0x60});
  synthesizer.send(Message{0x90, 69, 100});
  const std::vector<float> heard = next(synthesizer, 48'000);
  int rises = 0;
  for (std::size_t i = 1; i < heard.size(); ++i) rises += heard[i - 1] < 0 && heard[i] >= 0;
  EXPECT_NEAR(rises, 440.0 * std::pow(2.0, 1.0 / 12.0), 2.0);
}

TEST_F(Synthesis, RepeatsItselfExactlyWithReverb) {
  std::vector<std::vector<float>> heard;
  for (int i = 0; i < 2; ++i) {
    Synthesizer synthesizer = this->synthesizer({.reverb = true});
    synthesizer.send(Message{0x90, 60, 100});
    synthesizer.send(Message{0x91, 67, 80});
    heard.push_back(next(synthesizer, 24'000));
  }
  EXPECT_EQ(heard[0], heard[1]);
}

TEST_F(Synthesis, RefusesSettingsOutOfRange) {
  const std::vector<SynthesizerSettings> rows = {
      {.sample_rate = 0}, {.sample_rate = 7'999}, {.sample_rate = 96'001},
      {.gain = -0.1},     {.gain = 10.1},         {.gain = std::numeric_limits<double>::infinity()},
  };
  for (const SynthesizerSettings& settings : rows) {
    SCOPED_TRACE(settings.sample_rate);
    SCOPED_TRACE(settings.gain);
    const Result<Synthesizer> made = Synthesizer::with(font(), settings);
    ASSERT_FALSE(made);
    EXPECT_NE(to_string(made.diagnostics()[0]).find("no synthesizer runs at"), std::string::npos);
  }
}

// Takes `count` bytes at `at` out of the chunk `name` and of the forms around it.
std::string without(std::string font, const std::string& name, std::size_t at, std::size_t count) {
  const auto shrink = [&](std::size_t place) {
    std::uint32_t size = 0;
    for (unsigned i = 4; i-- > 0;) size = size << 8 | static_cast<unsigned char>(font[place + i]);
    size -= static_cast<std::uint32_t>(count);
    for (unsigned i = 0; i < 4; ++i) font[place + i] = static_cast<char>(size >> (8 * i) & 0xFF);
  };
  const std::size_t chunk = font.find(name);
  shrink(chunk + 4);
  shrink(font.find("pdta") - 4);
  shrink(4);
  return font.erase(chunk + 8 + at, count);
}

TEST_F(Synthesis, RefusesASoundFontWithoutPresets) {
  // Without the only preset's header, zone and generator; those that end the lists stay.
  std::string font = without(folder_.read("sine.sf2"), "phdr", 0, 38);
  font = without(font, "pbag", 4, 4);
  folder_.write("empty.sf2", without(font, "pgen", 0, 4));
  const Result<Synthesizer> made = Synthesizer::with(folder_.path() / "empty.sf2", {});
  ASSERT_FALSE(made);
  EXPECT_EQ(to_string(made.diagnostics()[0]),
            (folder_.path() / "empty.sf2").string() +
                ": is a SoundFont without any sound in it; try another");
}

TEST_F(Synthesis, LivesThroughDamagedSoundFonts) {
  // One byte after another of the presets' tables is spoilt: each file is refused or sounds
  // somehow, and what sounds is a number.
#if defined(__SANITIZE_ADDRESS__)
  const __lsan::ScopedDisabler ignored;  // FluidSynth 2.3.1 forgets 48 bytes of a file it refuses
#endif
  const std::string whole = folder_.read("sine.sf2");
  const std::size_t tables = whole.find("phdr");
  ASSERT_NE(tables, std::string::npos);
  int taken = 0;
  int refused = 0;
  for (std::size_t at = tables; at < whole.size(); at += 3) {
    SCOPED_TRACE(at);
    std::string spoilt = whole;
    spoilt[at] = static_cast<char>(spoilt[at] ^ 0xFF);
    folder_.write("spoilt.sf2", spoilt);
    Result<Synthesizer> made = Synthesizer::with(folder_.path() / "spoilt.sf2", {});
    ++(made ? taken : refused);
    if (!made) continue;
    made->send(Message{0x90, 69, 127});
    for (const float sample : next(*made, 4800)) ASSERT_TRUE(std::isfinite(sample));
  }
  EXPECT_GT(taken, 10);
  EXPECT_GT(refused, 10);
}

}  // namespace
}  // namespace arsis
