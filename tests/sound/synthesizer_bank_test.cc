// Several synthesizers against one: the sum is the same, the notes are nearer to their time.
#include "sound/synthesizer_bank.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "sound/phases.h"
#include "sound/sine_soundfont.h"
#include "sound/soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::Wave;

constexpr int kRate = 48'000;
constexpr double kStepOf24Bits = 1.0 / 8'388'608.0;

void add(std::vector<TimedMessage>& all, double at, std::vector<std::uint8_t> bytes) {
  TimedMessage made;
  made.at = {at};
  std::ranges::copy(bytes, made.bytes.begin());
  made.size = static_cast<std::uint8_t>(bytes.size());
  all.push_back(made);
}

void sort(std::vector<TimedMessage>& all) {
  std::ranges::stable_sort(all, {}, [](const TimedMessage& message) { return message.at; });
}

enum class Pedal { kChanged, kHeld };

// Two hands with controllers, bends and programs, from a fixed seed. Ten seconds with drums, the
// pedal changed every second; or four without, the pedal held to the end.
std::vector<TimedMessage> piece(Pedal pedal = Pedal::kChanged) {
  std::mt19937 random(7);
  const auto below = [&](int limit) {
    return static_cast<int>(random() % static_cast<unsigned>(limit));
  };
  std::vector<TimedMessage> all;
  const auto byte = [](int value) { return static_cast<std::uint8_t>(value); };
  add(all, 0.0, {0xC1, 48});
  const int seconds = pedal == Pedal::kHeld ? 4 : 10;
  for (int second = 0; second < seconds; ++second) {
    for (const int channel : {0, 1, 9}) {
      if (pedal == Pedal::kHeld && second > 0) continue;
      add(all, second + 0.001, {byte(0xB0 | channel), 64, 0});
      add(all, second + 0.06, {byte(0xB0 | channel), 64, 127});
    }
    add(all, second + 0.3, {0xB1, 7, byte(60 + below(60))});
    add(all, second + 0.5, {0xE1, byte(below(128)), byte(56 + below(16))});
  }
  for (int i = 0; i < 12 * seconds; ++i) {
    const double at = 0.08 * i + 0.0001 * below(200);
    const int key = 40 + (i * 7) % 44;  // none comes again within its length
    add(all, at, {byte(0x90 | i % 2), byte(key), byte(20 + below(80))});
    add(all, at + 0.1 + 0.001 * below(400), {byte(0x80 | i % 2), byte(key), 64});
    if (i % 8 != 0 || pedal == Pedal::kHeld) continue;
    const int drum = i % 16 == 0 ? 42 : 46;
    add(all, at + 0.02, {0x99, byte(drum), 90});
    add(all, at + 0.07, {0x89, byte(drum), 64});
  }
  for (const int channel : {0, 1, 9}) add(all, seconds + 0.2, {byte(0xB0 | channel), 64, 0});
  sort(all);
  return all;
}

class Bank : public ::testing::Test {
 protected:
  std::filesystem::path font(Wave wave) const {
    const std::filesystem::path path = folder_.path() / "test.sf2";
    test::write_soundfont(path, wave);
    return path;
  }
  // One for measuring, and the system's where there is one.
  std::vector<std::filesystem::path> fonts() const {
    std::vector<std::filesystem::path> all = {font(Wave::kSine)};
    SoundFontSearch search;
    search.system = system_soundfonts();
    const Result<std::filesystem::path> system = find_soundfont(search);
    if (system) all.push_back(*system);
    return all;
  }
  // Left and right in turn.
  std::vector<float> render(const std::filesystem::path& soundfont, const BankSettings& settings,
                            std::span<const TimedMessage> messages, double seconds) const {
    Result<SynthesizerBank> bank = SynthesizerBank::with(soundfont, settings);
    EXPECT_TRUE(bank);
    std::vector<float> all;
    const auto frames = static_cast<std::uint64_t>(seconds * settings.synthesizer.sample_rate);
    EXPECT_TRUE(bank->render(Score{}, messages, frames,
                             [&](std::span<const float> samples) -> Result<bool> {
                               all.insert(all.end(), samples.begin(), samples.end());
                               return true;
                             }));
    return all;
  }

  Folder folder_;
};

double largest(const std::vector<float>& samples) {
  double peak = 0.0;
  for (const float sample : samples) peak = std::max(peak, double{std::abs(sample)});
  return peak;
}

double largest_difference(const std::vector<float>& a, const std::vector<float>& b) {
  EXPECT_EQ(a.size(), b.size());
  double most = 0.0;
  for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
    most = std::max(most, std::abs(double{a[i]} - double{b[i]}));
  }
  return most;
}

TEST_F(Bank, SumsToWhatOneSynthesizerPlaysWithReverb) {
  // The pedal is held, so that every note has a voice that has not sounded before: see below.
  BankSettings one;
  one.leads = {0};
  one.synthesizer.gain = 0.2;  // full level at most: beyond, a float's own step is larger
  BankSettings four = one;
  four.leads = {0, 0, 0, 0};
  for (const std::filesystem::path& soundfont : fonts()) {
    SCOPED_TRACE(soundfont);
    const std::vector<float> alone = render(soundfont, one, piece(Pedal::kHeld), 13.0);
    const std::vector<float> sum = render(soundfont, four, piece(Pedal::kHeld), 13.0);
    EXPECT_GT(largest(alone), 0.05);
    EXPECT_LT(largest_difference(alone, sum), kStepOf24Bits);
  }
}

TEST_F(Bank, SumsToOneSynthesizerButForTheFirstBlockOfAVoiceThatHasSoundedBefore) {
  // FluidSynth blends the first 64 frames of a note in from wherever its voice was panned before,
  // so that they depend on which voice it got; nothing else may.
  BankSettings one;
  one.leads = {0};
  one.synthesizer.reverb = false;
  BankSettings four = one;
  four.leads = {0, 0, 0, 0};
  std::vector<bool> begins(13 * kRate / kBlock);
  for (const TimedMessage& message : piece()) {
    if ((message.bytes[0] & 0xF0) != 0x90) continue;
    begins[block_begin(message.at, kRate, 0) / kBlock] = true;
  }
  for (const std::filesystem::path& soundfont : fonts()) {
    SCOPED_TRACE(soundfont);
    const std::vector<float> alone = render(soundfont, one, piece(), 13.0);
    const std::vector<float> sum = render(soundfont, four, piece(), 13.0);
    ASSERT_EQ(alone.size(), sum.size());
    double most = 0.0;
    for (std::size_t i = 0; i < alone.size(); ++i) {
      if (begins[std::min(i / 2 / kBlock, begins.size() - 1)]) continue;
      most = std::max(most, std::abs(double{alone[i]} - double{sum[i]}));
    }
    EXPECT_LT(most, kStepOf24Bits);
    EXPECT_LT(largest_difference(alone, sum), 0.1 * largest(alone));
  }
}

TEST_F(Bank, AddsAVoiceForAKeyStruckAgainUnderThePedalAsOneSynthesizerDoes) {
  std::vector<TimedMessage> messages;
  add(messages, 0.0, {0xB0, 64, 127});
  for (int i = 0; i < 3; ++i) {
    add(messages, 0.1 + 0.2 * i, {0x90, 69, 60});
    add(messages, 0.2 + 0.2 * i, {0x80, 69, 64});
  }
  add(messages, 1.0, {0xB0, 64, 0});
  BankSettings one;
  one.leads = {0};
  BankSettings three = one;
  three.leads = {0, 0, 0};
  const std::vector<float> alone = render(font(Wave::kSine), one, messages, 1.5);
  const std::vector<float> sum = render(font(Wave::kSine), three, messages, 1.5);
  EXPECT_LT(largest_difference(alone, sum), kStepOf24Bits);
  // The first note and those that came on top of it are heard until the pedal goes up.
  const auto peak_in = [&](double from, double to) {
    const auto first = static_cast<std::ptrdiff_t>(2 * from * kRate);
    const auto last = static_cast<std::ptrdiff_t>(2 * to * kRate);
    return largest(std::vector<float>(sum.begin() + first, sum.begin() + last));
  };
  EXPECT_GT(peak_in(0.22, 0.29), 0.01);
  EXPECT_GT(std::abs(peak_in(0.62, 0.95) / peak_in(0.22, 0.29) - 1.0), 0.3);
  EXPECT_LT(peak_in(1.3, 1.5), 0.3 * peak_in(0.22, 0.29));
}

TEST_F(Bank, PlaysTheSameWithAnyNumberOfThreads) {
  BankSettings settings;
  settings.threads = 1;
  const std::vector<float> alone = render(font(Wave::kSine), settings, piece(), 11.0);
  for (const int threads : {2, 3, 4, 64, 0}) {
    SCOPED_TRACE(threads);
    settings.threads = threads;
    EXPECT_EQ(render(font(Wave::kSine), settings, piece(), 11.0), alone);
  }
}

TEST_F(Bank, BeginsWithTheMusicsTimeNought) {
  // With any lead a note at the very beginning begins there, within the lead's distance.
  std::vector<TimedMessage> messages;
  add(messages, 0.0, {0x90, 69, 127});
  add(messages, 0.5, {0x80, 69, 64});
  for (const int lead : {0, 1, 16, 31, 33, 48, 63}) {
    SCOPED_TRACE(lead);
    BankSettings settings;
    settings.synthesizer.reverb = false;
    settings.leads = {lead};
    const std::vector<float> heard = render(font(Wave::kClick), settings, messages, 0.1);
    std::size_t first = 0;
    while (first < heard.size() / 2 && std::abs(heard[2 * first]) < 1e-4F) ++first;
    // The block at the synthesizer's beginning is cut by the lead; what is past the middle of a
    // block waits for the next.
    const int begins = lead < 32 ? 0 : 64 - lead;
    EXPECT_NEAR(static_cast<double>(first), begins, 2.0);
  }
}

TEST_F(Bank, HandsOverAsManyFramesAsAreWantedAndNoMore) {
  for (const std::uint64_t frames : {0u, 1u, 8'191u, 8'192u, 8'193u, 100'000u}) {
    SCOPED_TRACE(frames);
    Result<SynthesizerBank> bank = SynthesizerBank::with(font(Wave::kSine), {});
    ASSERT_TRUE(bank);
    std::uint64_t got = 0;
    ASSERT_TRUE(
        bank->render(Score{}, {}, frames, [&](std::span<const float> samples) -> Result<bool> {
          got += samples.size() / 2;
          return true;
        }));
    EXPECT_EQ(got, frames);
  }
}

TEST_F(Bank, StopsWhereNoMoreIsWantedAndWhereTakingFails) {
  for (const bool fails : {false, true}) {
    SCOPED_TRACE(fails);
    Result<SynthesizerBank> bank = SynthesizerBank::with(font(Wave::kSine), {});
    ASSERT_TRUE(bank);
    int calls = 0;
    const Result<Done> done =
        bank->render(Score{}, piece(), 1'000'000'000, [&](std::span<const float>) -> Result<bool> {
          if (++calls < 3) return true;
          if (fails) return fail({}, "no room");
          return false;
        });
    EXPECT_EQ(calls, 3);
    EXPECT_EQ(static_cast<bool>(done), !fails);
    if (fails) {
      EXPECT_EQ(to_string(done.diagnostics()[0]), "no room");
    }
  }
}

TEST_F(Bank, SaysWhatIsWrongWithTheSoundFont) {
  const Result<SynthesizerBank> bank = SynthesizerBank::with(folder_.path() / "none.sf2", {});
  ASSERT_FALSE(bank);
  EXPECT_EQ(bank.diagnostics().size(), 1u);
}

}  // namespace
}  // namespace arsis
