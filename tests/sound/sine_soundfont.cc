#include "sound/sine_soundfont.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fstream>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

namespace arsis::test {
namespace {

class Chunk {
 public:
  explicit Chunk(std::string_view name) : name_(name) {}
  Chunk(std::string_view name, std::string_view form) : name_(name), body_(form) {}

  Chunk& word(unsigned value) {
    body_ += static_cast<char>(value & 0xFF);
    body_ += static_cast<char>(value >> 8 & 0xFF);
    return *this;
  }
  Chunk& dword(std::uint32_t value) { return word(value & 0xFFFF).word(value >> 16); }
  Chunk& byte(unsigned value) {
    body_ += static_cast<char>(value);
    return *this;
  }
  Chunk& name(std::string_view text) {  // 20 bytes, as all names in a SoundFont
    std::string padded(text);
    padded.resize(20);
    body_ += padded;
    return *this;
  }
  Chunk& text(std::string_view value) {
    body_ += value;
    return *this;
  }
  Chunk& add(const Chunk& inner) {
    body_ += inner.bytes();
    return *this;
  }
  std::string bytes() const {
    std::string all = name_;
    for (unsigned shift = 0; shift < 32; shift += 8) {
      all += static_cast<char>(body_.size() >> shift & 0xFF);
    }
    all += body_;
    if (body_.size() % 2 != 0) all += '\0';
    return all;
  }

 private:
  std::string name_;
  std::string body_;
};

constexpr std::uint32_t kRate = 48'000;
constexpr double kFullLevel = 16'384.0;  // -6 dB: room for the reverb-free sum of a few notes
constexpr std::size_t kGuard = 46;       // silent samples after each sample, by the format

struct Sample {
  std::vector<std::int16_t> data;
  std::uint32_t loop_begin = 0;
  std::uint32_t loop_end = 0;
  int key = 69;
  bool looped = false;
};

Sample sine() {
  // 4800 samples hold 44 whole periods of 440 Hz.
  Sample sample;
  constexpr std::size_t kLength = 4800;
  for (std::size_t i = 0; i < kLength; ++i) {
    const double phase = 2.0 * std::numbers::pi * 440.0 * static_cast<double>(i) / kRate;
    sample.data.push_back(static_cast<std::int16_t>(std::lround(kFullLevel * std::sin(phase))));
  }
  // A loop in the middle, of whole periods (1200 samples hold 11).
  sample.loop_begin = 1200;
  sample.loop_end = 3600;
  sample.looped = true;
  return sample;
}

Sample click() {
  Sample sample;
  // Not one sample alone: FluidSynth's quickest attack takes a millisecond from nothing to all.
  sample.data.assign(2400, 0);
  std::fill_n(sample.data.begin(), 480, static_cast<std::int16_t>(kFullLevel));
  sample.loop_begin = 100;
  sample.loop_end = 2300;
  return sample;
}

Chunk info() {
  Chunk list("LIST", "INFO");
  list.add(Chunk("ifil").word(2).word(4));
  list.add(Chunk("isng").text(std::string_view("EMU8000\0", 8)));
  list.add(Chunk("INAM").text(std::string_view("Test\0\0", 6)));
  return list;
}

Chunk samples(const Sample& sample) {
  Chunk smpl("smpl");
  for (const std::int16_t value : sample.data) smpl.word(static_cast<std::uint16_t>(value));
  for (std::size_t i = 0; i < kGuard; ++i) smpl.word(0);
  return Chunk("LIST", "sdta").add(smpl);
}

// The instrument's modulators: none, or velocity -> attenuation by half the default's 960 cB.
// Source: SoundFont 2.04, 8.2 (0x0502: velocity, negative unipolar concave) and 8.4.1.
Chunk modulators(VelocityLaw law) {
  constexpr unsigned kVelocity = 0x0502;
  constexpr unsigned kAttenuation = 48;
  Chunk list("imod");
  if (law == VelocityLaw::kHalf) list.word(kVelocity).word(kAttenuation).word(480).word(0).word(0);
  return list.word(0).word(0).word(0).word(0).word(0);
}

Chunk presets(const Sample& sample, VelocityLaw law) {
  constexpr unsigned kInstrument = 41;
  constexpr unsigned kSampleModes = 54;
  constexpr unsigned kSampleId = 53;
  constexpr unsigned kReleaseVolume = 38;
  constexpr unsigned kScaleTuning = 56;
  const bool tracks_keys = sample.looped;
  Chunk list("LIST", "pdta");
  list.add(Chunk("phdr")
               .name("Test")
               .word(0)
               .word(0)
               .word(0)
               .dword(0)
               .dword(0)
               .dword(0)
               .name("EOP")
               .word(0)
               .word(0)
               .word(1)
               .dword(0)
               .dword(0)
               .dword(0));
  list.add(Chunk("pbag").word(0).word(0).word(1).word(0));
  list.add(Chunk("pmod").word(0).word(0).word(0).word(0).word(0));
  list.add(Chunk("pgen").word(kInstrument).word(0).word(0).word(0));
  list.add(Chunk("inst").name("Test").word(0).name("EOI").word(1));
  list.add(Chunk("ibag").word(0).word(0).word(4).word(law == VelocityLaw::kHalf ? 1 : 0));
  list.add(modulators(law));
  list.add(Chunk("igen")
               .word(kReleaseVolume)
               .word(static_cast<std::uint16_t>(-7973))  // 10 ms
               .word(kScaleTuning)
               .word(tracks_keys ? 100 : 0)
               .word(kSampleModes)
               .word(sample.looped ? 1 : 0)
               .word(kSampleId)
               .word(0)
               .word(0)
               .word(0));
  const auto end = static_cast<std::uint32_t>(sample.data.size());
  list.add(Chunk("shdr")
               .name("Test")
               .dword(0)
               .dword(end)
               .dword(sample.loop_begin)
               .dword(sample.loop_end)
               .dword(kRate)
               .byte(static_cast<unsigned>(sample.key))
               .byte(0)
               .word(0)
               .word(1)
               .name("EOS")
               .dword(0)
               .dword(0)
               .dword(0)
               .dword(0)
               .dword(0)
               .byte(0)
               .byte(0)
               .word(0)
               .word(0));
  return list;
}

}  // namespace

void write_soundfont(const std::filesystem::path& path, Wave wave, VelocityLaw law) {
  const Sample sample = wave == Wave::kSine ? sine() : click();
  const Chunk file =
      Chunk("RIFF", "sfbk").add(info()).add(samples(sample)).add(presets(sample, law));
  std::ofstream(path, std::ios::binary) << file.bytes();
}

}  // namespace arsis::test
