#include "tool/audio_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <array>
#include <cmath>
#include <span>
#include <string_view>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kLeastRate = 22'050.0;
constexpr double kMostRate = 96'000.0;
// Softer than any music is kept, and louder than any can be without distortion.
constexpr double kLeastLoudness = -50.0;
constexpr double kMostLoudness = -5.0;
constexpr double kLeastPeak = -30.0;

Diagnostic no_such(std::string_view option, std::string_view text, std::string remedy) {
  return error({}, fmt::format("{} cannot be '{}'", option, printable(text)), std::move(remedy));
}

// A number from `least` to `most`, with one of the units or none.
std::optional<double> measure(std::string_view text, std::span<const std::string_view> units,
                              double least, double most) {
  const auto parsed = parse_number_with_unit(text);
  if (!parsed || !(parsed->number >= least && parsed->number <= most)) return std::nullopt;
  if (parsed->unit.empty()) return parsed->number;
  for (const std::string_view unit : units) {
    if (lower_case(parsed->unit) == unit) return parsed->number;
  }
  return std::nullopt;
}

// Whole frames a second; "44.1 kHz" as well.
std::optional<int> rate_of(std::string_view text) {
  const auto parsed = parse_number_with_unit(text);
  if (!parsed) return std::nullopt;
  const std::string unit = lower_case(parsed->unit);
  if (!unit.empty() && unit != "hz" && unit != "khz") return std::nullopt;
  const double rate = parsed->number * (unit == "khz" ? 1000.0 : 1.0);
  if (!(rate >= kLeastRate && rate <= kMostRate)) return std::nullopt;
  const double whole = std::round(rate);
  if (std::abs(rate - whole) > 1e-6) return std::nullopt;
  return static_cast<int>(whole);
}

std::optional<SampleDepth> depth_of(std::string_view text) {
  const std::string word = lower_case(trimmed(text));
  if (word == "16") return SampleDepth::k16;
  if (word == "24") return SampleDepth::k24;
  if (word == "32f") return SampleDepth::kFloat;
  return std::nullopt;
}

void read_level(const AudioOptions& options, LevelTarget& level, Diagnostics& errors) {
  if (!options.loudness.empty()) {
    constexpr std::array<std::string_view, 1> kUnits = {"lufs"};
    const auto loudness = measure(options.loudness, kUnits, kLeastLoudness, kMostLoudness);
    if (loudness) {
      level.loudness = Lufs{*loudness};
    } else {
      errors.push_back(no_such("--loudness", options.loudness,
                               "write -50 to -5 LUFS; -18 suits practising, -14 most players"));
    }
  }
  if (!options.peak.empty()) {
    constexpr std::array<std::string_view, 2> kUnits = {"db", "dbtp"};
    const auto peak = measure(options.peak, kUnits, kLeastPeak, 0.0);
    if (peak) {
      level.true_peak = Decibels{*peak};
    } else {
      errors.push_back(no_such("--peak", options.peak, "write -30 to 0 dB, such as -1"));
    }
  }
}

}  // namespace

void add_audio_options(CLI::App& command, AudioOptions& options) {
  command.add_option("--soundfont", options.soundfont, "an SF2 or SF3 file to sound it with");
  command.add_option("--reverb", options.reverb, "on (a small room) or off")->capture_default_str();
  command.add_option("--rate", options.rate, "frames a second of an audio file, 22050 to 96000")
      ->capture_default_str();
  command.add_option("--bits", options.bits,
                     "of an audio file: 16, 24 (the default) or 32f in .wav; 16 or 24 in .flac");
  command.add_option("--loudness", options.loudness,
                     "turn all files of this run up or down together to a loudness, such as -18 "
                     "(LUFS)");
  command.add_option("--peak", options.peak,
                     "the highest peak that may come of it, -1 by default (dBTP)");
}

Result<AudioRequest> audio_request_of(const AudioOptions& options) {
  AudioRequest request;
  Diagnostics errors;
  request.soundfont = options.soundfont;
  if (options.reverb == "on" || options.reverb == "off") {
    request.reverb = options.reverb == "on";
  } else {
    errors.push_back(no_such("--reverb", options.reverb, "write on or off"));
  }
  if (const std::optional<int> rate = rate_of(options.rate)) {
    request.sample_rate = *rate;
  } else {
    errors.push_back(no_such("--rate", options.rate,
                             "write 22050 to 96000 frames a second, such as 44100 or 48000"));
  }
  if (!options.bits.empty()) {
    request.depth = depth_of(options.bits);
    if (!request.depth) {
      errors.push_back(no_such("--bits", options.bits, "write 16, 24 or 32f"));
    }
  }
  read_level(options, request.level, errors);
  if (!errors.empty()) return errors;
  return request;
}

}  // namespace arsis
