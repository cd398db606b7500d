#include "tool/audition_live.h"

#include <fmt/format.h>

#include <filesystem>
#include <span>
#include <string>
#include <utility>

#include "sound/live_loudness.h"
#include "sound/matched_gains.h"
#include "tool/attend.h"
#include "tool/audition_session.h"
#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

// How long all of them sound, about: each as long as the first.
Seconds length_of_all(const Audition& audition) {
  const Excerpt first = perform_reading(audition, audition.readings.front());
  const std::span<const TimeMap::Knot> knots = first.performance.time.knots();
  return knots.back().second * static_cast<double>(audition.readings.size());
}

}  // namespace

std::optional<Diagnostic> unmatched_warning(const Audition& audition, const AuditionArgs& args) {
  constexpr const char* kWhat = "the readings are not matched in loudness: ";
  if (args.where.port) {
    return warning({}, std::string(kWhat) + "a port's instrument is not heard here",
                   "judge the shape, not the volume");
  }
  if (length_of_all(audition) > kLongestMatched) {
    return warning({}, std::string(kWhat) + "they are long",
                   "write them to a file, with -o, or name a smaller block");
  }
  return std::nullopt;
}

std::optional<std::vector<Decibels>> live_gains(const Audition& audition, const AuditionArgs& args,
                                                int& code) {
  if (unmatched_warning(audition, args)) {
    return std::vector<Decibels>(audition.readings.size());
  }
  const Result<fs::path> soundfont = choose_soundfont(args.audio.soundfont, args.plan);
  if (!soundfont) {
    report(soundfont.diagnostics());
    code = kDeviceMissing;
    return std::nullopt;
  }
  const LiveSound sound =
      live_sound(args.where, {args.audio.soundfont, args.audio.reverb}, *soundfont);
  std::vector<LoudnessMeter> meters;
  for (const HeardReading& heard : audition.readings) {
    Progress progress(
        fmt::format("measuring {} of {}", meters.size() + 1, audition.readings.size()));
    const PlayedReading played = played_reading(audition, heard, {0.0});
    Result<LoudnessMeter> meter = live_loudness(played.rendition, played.settings, sound,
                                                [&](double done) { progress.show(done); });
    progress.clear();
    report(meter.diagnostics());
    if (!meter) return code = kDeviceMissing, std::nullopt;
    meters.push_back(*std::move(meter));
  }
  std::vector<const LoudnessMeter*> all;
  for (const LoudnessMeter& meter : meters) all.push_back(&meter);
  const Result<std::vector<Decibels>> gains = matched_gains(all);
  report(gains.diagnostics());
  return *gains;
}

int play_audition(const Audition& audition, const AuditionArgs& args) {
  if (const auto doubt = unmatched_warning(audition, args)) report({*doubt});
  int code = kDone;
  auto gains = live_gains(audition, args, code);
  if (!gains) return code;
  const StopSignals signals;
  std::optional<std::string> fault;
  std::optional<LivePlayback> playback;
  {
    Terminal terminal;
    AuditionSession session(audition, *std::move(gains), args.plan, !terminal.interactive());
    Result<LivePlayback> started =
        start_playing(session.rendition(), session.settings(), args.where,
                      {args.audio.soundfont, args.audio.reverb}, args.plan);
    report(started.diagnostics());
    if (!started) return kDeviceMissing;
    playback.emplace(*std::move(started));
    report(terminal.interactive() ? "playing to " + playback->where() + "\n" + session.help()
                                  : session.list());
    fault = attend(session, *playback, terminal);
  }
  playback->stop();
  return after_playing(fault);
}

}  // namespace arsis
