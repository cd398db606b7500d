#include "sound/click_font.h"

#include <array>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

namespace arsis {
namespace {

constexpr int kPercussionBank = 128;
constexpr int kHigh = 76;  // of General MIDI's percussion; the low one is the key above
constexpr int kClickRate = 48'000;
constexpr int kFrames = kClickRate * 80 / 1000;

// A struck piece of wood: two partials that die away within some hundredths of a second, by ear.
std::vector<short> woodblock(double frequency) {
  constexpr double kLevel = 0.5;
  constexpr double kDecay = 0.012;    // seconds to 1/e
  constexpr double kAttack = 0.0005;  // seconds, so that it does not crack
  std::vector<short> frames(kFrames);
  for (int i = 0; i < kFrames; ++i) {
    const double at = static_cast<double>(i) / kClickRate;
    const double phase = 2.0 * std::numbers::pi * frequency * at;
    const double wave = 0.7 * std::sin(phase) + 0.3 * std::sin(2.6 * phase);
    const double rise = std::min(1.0, at / kAttack);
    frames[static_cast<std::size_t>(i)] =
        static_cast<short>(std::lround(32'767.0 * kLevel * rise * std::exp(-at / kDecay) * wave));
  }
  return frames;
}

struct PresetDeleter {
  void operator()(fluid_preset_t* preset) const { delete_fluid_preset(preset); }
};
struct SampleDeleter {
  void operator()(fluid_sample_t* sample) const { delete_fluid_sample(sample); }
};

// What the font's callbacks work with.
struct Font {
  std::array<std::unique_ptr<fluid_sample_t, SampleDeleter>, 2> samples;  // high, low
  std::unique_ptr<fluid_preset_t, PresetDeleter> preset;
};

const char* font_name(fluid_sfont_t*) { return "click"; }
const char* preset_name(fluid_preset_t*) { return "click"; }
int bank_of(fluid_preset_t*) { return kPercussionBank; }
int program_of(fluid_preset_t*) { return 0; }
void keep_preset(fluid_preset_t*) {}  // it goes with its font

fluid_preset_t* preset_of(fluid_sfont_t* font, int bank, int program) {
  if (bank != kPercussionBank || program != 0) return nullptr;
  return static_cast<Font*>(fluid_sfont_get_data(font))->preset.get();
}

int free_font(fluid_sfont_t* font) {
  delete static_cast<Font*>(fluid_sfont_get_data(font));
  return delete_fluid_sfont(font);
}

int strike(fluid_preset_t* preset, fluid_synth_t* synth, int channel, int key, int velocity) {
  if (key != kHigh && key != kHigh + 1) return FLUID_OK;
  const auto& font = *static_cast<Font*>(fluid_preset_get_data(preset));
  fluid_voice_t* voice = fluid_synth_alloc_voice(
      synth, font.samples[static_cast<std::size_t>(key - kHigh)].get(), channel, key, velocity);
  if (voice == nullptr) return FLUID_FAILED;
  fluid_voice_gen_set(voice, GEN_SCALETUNE, 0.0F);  // each has its own pitch
  // It rings to its end when the key goes up: 1200 timecents are two seconds.
  fluid_voice_gen_set(voice, GEN_VOLENVRELEASE, 1200.0F);
  fluid_synth_start_voice(synth, voice);
  return FLUID_OK;
}

bool has_percussion(fluid_synth_t* synth) {
  for (unsigned i = 0; i < static_cast<unsigned>(fluid_synth_sfcount(synth)); ++i) {
    if (fluid_sfont_get_preset(fluid_synth_get_sfont(synth, i), kPercussionBank, 0) != nullptr) {
      return true;
    }
  }
  return false;
}

}  // namespace

void add_click_font(fluid_synth_t* synth) {
  if (has_percussion(synth)) return;
  fluid_sfont_t* made = new_fluid_sfont(font_name, preset_of, nullptr, nullptr, free_font);
  if (made == nullptr) return;
  auto font = std::make_unique<Font>();
  constexpr std::array<double, 2> kFrequencies = {1500.0, 1000.0};
  for (std::size_t i = 0; i < font->samples.size(); ++i) {
    std::vector<short> frames = woodblock(kFrequencies[i]);
    font->samples[i].reset(new_fluid_sample());
    fluid_sample_set_sound_data(font->samples[i].get(), frames.data(), nullptr, kFrames, kClickRate,
                                1);
    fluid_sample_set_pitch(font->samples[i].get(), kHigh + static_cast<int>(i), 0);
  }
  font->preset.reset(new_fluid_preset(made, preset_name, bank_of, program_of, strike, keep_preset));
  fluid_preset_set_data(font->preset.get(), font.get());
  fluid_sfont_set_data(made, font.release());
  fluid_synth_add_sfont(synth, made);
  fluid_synth_program_reset(synth);  // so that channel 10 finds it
}

}  // namespace arsis
