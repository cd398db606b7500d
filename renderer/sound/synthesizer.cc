#include "sound/synthesizer.h"

#include <fluidsynth.h>
#include <fmt/format.h>
#include <glib.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <mutex>

#include "sound/click_font.h"
#include "sound/handles.h"
#include "sound/quiet_fluidsynth.h"
#include "sound/soundfont.h"

namespace arsis {
namespace {

struct SynthDeleter {
  void operator()(fluid_synth_t* synth) const { delete_fluid_synth(synth); }
};

// A small room: it joins the notes without covering a breath of 60 ms. Our choice, by ear.
constexpr double kRoomSize = 0.35;
constexpr double kRoomDamping = 0.3;
constexpr double kRoomWidth = 0.6;
constexpr double kRoomLevel = 0.25;

// A file that the SoundFont loader refuses is offered to FluidSynth's other loaders, and those
// complain through glib to standard error. The handler is one for the whole process: the first of
// several loads at a time takes it, the last gives it back.
class QuietGlib {
 public:
  QuietGlib() {
    const std::lock_guard lock(mutex_);
    if (users_++ == 0) before_ = g_log_set_default_handler(ignore, nullptr);
  }
  QuietGlib(const QuietGlib&) = delete;
  QuietGlib& operator=(const QuietGlib&) = delete;
  ~QuietGlib() {
    const std::lock_guard lock(mutex_);
    if (--users_ == 0) g_log_set_default_handler(before_, nullptr);
  }

 private:
  static void ignore(const gchar*, GLogLevelFlags, const gchar*, gpointer) {}
  static inline std::mutex mutex_;
  static inline int users_ = 0;
  static inline GLogFunc before_ = nullptr;
};

bool has_presets(fluid_synth_t* synth, int font) {
  fluid_sfont_t* loaded = fluid_synth_get_sfont_by_id(synth, font);
  if (loaded == nullptr) return false;
  fluid_sfont_iteration_start(loaded);
  return fluid_sfont_iteration_next(loaded) != nullptr;
}

// False where a setting is out of FluidSynth's range.
bool apply(fluid_settings_t* chosen, const SynthesizerSettings& settings) {
  const bool in_range =
      fluid_settings_setnum(chosen, "synth.sample-rate", settings.sample_rate) == FLUID_OK &&
      fluid_settings_setnum(chosen, "synth.gain", settings.gain) == FLUID_OK;
  fluid_settings_setint(chosen, "synth.polyphony", kVoices);
  fluid_settings_setint(chosen, "synth.chorus.active", 0);
  fluid_settings_setint(chosen, "synth.reverb.active", settings.reverb ? 1 : 0);
  fluid_settings_setnum(chosen, "synth.reverb.room-size", kRoomSize);
  fluid_settings_setnum(chosen, "synth.reverb.damp", kRoomDamping);
  fluid_settings_setnum(chosen, "synth.reverb.width", kRoomWidth);
  fluid_settings_setnum(chosen, "synth.reverb.level", kRoomLevel);
  fluid_settings_setint(chosen, "synth.lock-memory", 0);
  fluid_settings_setint(chosen, "synth.threadsafe-api", 0);
  return in_range;
}

void send_exclusive(fluid_synth_t* synth, std::span<const std::uint8_t> message) {
  if (message.size() < 3 || message.back() != 0xF7)
    return;  // a part of one: nobody could say of what
  const std::span<const std::uint8_t> body = message.subspan(1, message.size() - 2);
  fluid_synth_sysex(synth, reinterpret_cast<const char*>(body.data()),
                    static_cast<int>(body.size()), nullptr, nullptr, nullptr, 0);
}

// SoundFonts take the bend's range as a controller that reaches 127/128 of its full value at most
// (SoundFont 2.04 section 9.5.3), which makes every bend too small by that much, 8 cents in ten
// semitones. Here it is made up for, so that a bend is what MIDI says.
int soundfont_bend(int value) {
  constexpr int kCentre = 8192;
  constexpr int kMost = 16'383;
  const double bend = (value - kCentre) * (128.0 / 127.0);
  return std::clamp(kCentre + static_cast<int>(std::lround(bend)), 0, kMost);
}

// Program changes and channel pressures have one byte of data, the others two.
std::size_t length_of(std::uint8_t status) {
  const int kind = status & 0xF0;
  return kind == 0xC0 || kind == 0xD0 ? 2 : 3;
}

}  // namespace

struct Synthesizer::Handles {
  std::unique_ptr<fluid_settings_t, SettingsDeleter> settings;
  std::unique_ptr<fluid_synth_t, SynthDeleter> synth;  // goes before its settings
  int font = 0;  // the SoundFont's number; others may lie under and over it
};

Synthesizer::Synthesizer(std::unique_ptr<Handles> handles) : handles_(std::move(handles)) {}
Synthesizer::Synthesizer(Synthesizer&&) noexcept = default;
Synthesizer& Synthesizer::operator=(Synthesizer&&) noexcept = default;
Synthesizer::~Synthesizer() = default;

Result<Synthesizer> Synthesizer::with(const std::filesystem::path& soundfont,
                                      const SynthesizerSettings& settings) {
  const Where where{.file = soundfont.string()};
  if (const std::string fault = soundfont_fault(soundfont); !fault.empty()) {
    return fail(where, fault, "an SF2 or SF3 file is needed");
  }
  quiet_fluidsynth();
  auto handles = std::make_unique<Handles>();
  handles->settings.reset(new_fluid_settings());
  if (!apply(handles->settings.get(), settings)) {
    return fail({},
                fmt::format("no synthesizer runs at {} frames a second with a gain of {}",
                            settings.sample_rate, settings.gain),
                "8000 to 96000 frames and a gain of 0 to 10 are possible");
  }
  handles->synth.reset(new_fluid_synth(handles->settings.get()));
  if (handles->synth == nullptr) return fail(where, "no synthesizer could be made");
  const QuietGlib quiet;
  if (!settings.beneath.empty() && soundfont_fault(settings.beneath).empty()) {
    fluid_synth_sfload(handles->synth.get(), settings.beneath.string().c_str(), 1);
  }
  const int font = fluid_synth_sfload(handles->synth.get(), soundfont.string().c_str(), 1);
  if (font == FLUID_FAILED) {
    return fail(where, "cannot be loaded as a SoundFont", "it may be damaged; try another");
  }
  if (!has_presets(handles->synth.get(), font)) {
    return fail(where, "is a SoundFont without any sound in it", "try another");
  }
  handles->font = font;
  add_click_font(handles->synth.get());
  return Synthesizer(std::move(handles));
}

void Synthesizer::send(std::span<const std::uint8_t> message) {
  fluid_synth_t* synth = handles_->synth.get();
  if (message.empty()) return;
  const std::uint8_t status = message[0];
  if (status == 0xF0) return send_exclusive(synth, message);
  if (status < 0x80 || status > 0xEF || message.size() != length_of(status)) return;
  const int channel = status & 0x0F;
  switch (status & 0xF0) {
    case 0x80:
      fluid_synth_noteoff(synth, channel, message[1]);
      break;
    case 0x90:
      fluid_synth_noteon(synth, channel, message[1], message[2]);
      break;
    case 0xA0:
      fluid_synth_key_pressure(synth, channel, message[1], message[2]);
      break;
    case 0xB0:
      fluid_synth_cc(synth, channel, message[1], message[2]);
      break;
    case 0xC0:
      fluid_synth_program_change(synth, channel, message[1]);
      break;
    case 0xD0:
      fluid_synth_channel_pressure(synth, channel, message[1]);
      break;
    default:
      fluid_synth_pitch_bend(synth, channel, soundfont_bend(message[1] | message[2] << 7));
  }
}

void Synthesizer::render(std::span<float> interleaved) {
  assert(interleaved.size() % 2 == 0);
  fluid_synth_write_float(handles_->synth.get(), static_cast<int>(interleaved.size() / 2),
                          interleaved.data(), 0, 2, interleaved.data(), 1, 2);
  // A damaged SoundFont can drive a filter to numbers that are none.
  for (float& sample : interleaved) sample = std::isfinite(sample) ? sample : 0.0F;
}

std::vector<int> Synthesizer::melodic_programs() const {
  std::vector<int> programs;
  fluid_sfont_t* font = fluid_synth_get_sfont_by_id(handles_->synth.get(), handles_->font);
  if (font == nullptr) return programs;
  for (int program = 0; program < 128; ++program) {
    if (fluid_sfont_get_preset(font, 0, program) != nullptr) programs.push_back(program);
  }
  return programs;
}

}  // namespace arsis
