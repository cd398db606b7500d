#include "tool/play.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>

#include "tool/attend.h"
#include "tool/exit_code.h"
#include "tool/play_session.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/stop_signals.h"
#include "tool/terminal.h"

namespace arsis {
namespace {

void print_timings(const LiveReport& report) {
  fmt::print("{} messages", report.messages);
  if (report.first_note) {
    fmt::print(", first note {:.3f} s after playing began", report.first_note->value);
  }
  fmt::print("; half of the notes sent within {:.2f} ms of their moment, 99 % within {:.2f} ms\n",
             report.off_half.value * 1e3, report.off_most.value * 1e3);
}

int play(const PlayArgs& args, PlaySession& session) {
  const StopSignals signals;
  Result<LivePlayback> playback = start_playing(session.rendition(), session.settings(args.loop),
                                                args.where, args.sound, args.plan);
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
  return after_playing(fault);
}

}  // namespace

int run_play(const PlayArgs& args) {
  const Result<Layers> layers = layers_of(args.layers);
  Diagnostics usage = device_usage(args.where, args.sound, args.levels);
  append(usage, layers.diagnostics());
  if (!usage.empty()) return report(usage), kUsageAtFault;
  int code = kDone;
  const auto prepared = prepare(args.plan, args.passage, args.levels, args.sound.soundfont, code);
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
  command->add_option("--soundfont", args->sound.soundfont, "an SF2 or SF3 file to sound it with");
  command->add_option("--reverb", args->sound.reverb, "on (a small room) or off")
      ->capture_default_str();
  add_device_options(*command, args->where);
  command->add_flag("--timings", args->timings, "say afterwards how punctual the notes were");
  command->footer("While it plays, on a terminal:\n  " + PlaySession::help());
  command->callback([&run, args] { run = [args] { return run_play(*args); }; });
}

}  // namespace arsis
