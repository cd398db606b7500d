#include "tool/play.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <memory>

#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/live_output.h"
#include "tool/play_session.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/signals.h"
#include "tool/terminal.h"

namespace arsis {
namespace {

constexpr std::chrono::milliseconds kGlance{40};  // between two looks at the keys and the player
constexpr std::chrono::milliseconds kCheck{500};  // between two looks at the device

Diagnostics usage_errors(const PlayArgs& args) {
  Diagnostics errors = level_usage(args.levels);
  const Diagnostics output = live_output_usage(args.output, "--port");
  errors.insert(errors.end(), output.begin(), output.end());
  if (args.output.port && args.levels.levels == "measured") {
    errors.push_back(error({}, "--levels measured measures a SoundFont, which no port has",
                           "type the instrument's levels into the plan, as 'levels:'"));
  }
  return errors;
}

// Until the end, q, a signal or a device that vanishes: then what became of it.
std::optional<std::string> attend(PlaySession& session, LivePlayback& playback,
                                  Terminal& terminal) {
  auto checked = std::chrono::steady_clock::now();
  while (caught_signal() == 0) {
    const LiveState state = playback.state();
    if (state.done) break;
    terminal.show(session.status(state));
    if (const auto key = terminal.read_key(kGlance)) {
      if (!session.press(*key, playback)) break;
    }
    const auto now = std::chrono::steady_clock::now();
    if (now - checked < kCheck) continue;
    checked = now;
    if (auto fault = playback.fault()) return fault;
  }
  return std::nullopt;
}

void print_timings(const LiveReport& report) {
  fmt::print("{} messages", report.messages);
  if (report.first_note) {
    fmt::print(", first note {:.3f} s after playing began", report.first_note->value);
  }
  fmt::print("; half of the notes sent within {:.2f} ms of their moment, 99 % within {:.2f} ms\n",
             report.off_half.value * 1e3, report.off_most.value * 1e3);
}

int play(const PlayArgs& args, PlaySession& session) {
  const Signals signals;
  Result<LivePlayback> playback =
      play_live(session.rendition(), session.settings(args.loop), args.output, args.plan);
  report(playback.diagnostics());
  if (!playback) return kDeviceMissing;
  std::optional<std::string> fault;
  {
    Terminal terminal;
    if (terminal.interactive()) report("playing to " + playback->where() + "\n" + session.help());
    fault = attend(session, *playback, terminal);
  }
  playback->stop();
  if (args.timings) print_timings(playback->report());
  if (fault) {
    report(fail({}, *fault, "see that it is there, and begin again"));
    return kDeviceMissing;
  }
  if (caught_signal() != 0) end_by_signal();
  return kDone;
}

}  // namespace

int run_play(const PlayArgs& args) {
  const Result<Layers> layers = layers_of(args.layers);
  Diagnostics usage = usage_errors(args);
  usage.insert(usage.end(), layers.diagnostics().begin(), layers.diagnostics().end());
  if (!usage.empty()) return report(usage), kUsageAtFault;
  int code = kDone;
  const auto prepared = prepare(args.plan, args.passage, args.levels, args.output.soundfont, code);
  if (!prepared) return code;
  PlaySession session(prepared->loaded, prepared->passage,
                      layers_for(prepared->loaded, *layers, args.layers), prepared->instrument);
  return play(args, session);
}

void add_play(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<PlayArgs>();
  CLI::App* command = app.add_subcommand("play", "Play a performance now");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  add_passage_options(*command, args->passage);
  command->add_flag("--loop", args->loop, "again and again, with a breath between");
  add_layer_options(*command, args->layers);
  add_level_options(*command, args->levels);
  command->add_option("--port", args->output.port,
                      "play to this MIDI port; 'arsis ports' lists them, a part of the name does");
  command->add_option("--reverb", args->output.reverb, "on (a small room) or off")
      ->capture_default_str();
  add_sound_options(*command, args->output);
  command->add_flag("--timings", args->timings, "say afterwards how punctual the notes were");
  command->footer("While it plays, on a terminal:\n  " + PlaySession::help());
  command->callback([&run, args] { run = [args] { return run_play(*args); }; });
}

}  // namespace arsis
