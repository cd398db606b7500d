#include "tool/play.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <memory>
#include <string_view>

#include "base/files.h"
#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/play_session.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"
#include "tool/terminal.h"

namespace arsis {
namespace {

constexpr std::chrono::milliseconds kGlance{40};  // between two looks at the keys and the player
constexpr std::chrono::milliseconds kCheck{500};  // between two looks at the device
constexpr std::string_view kFileDriver = "file=";

// Set by a signal: silence first, then end as the signal says.
volatile std::sig_atomic_t caught = 0;
extern "C" void remember(int signal) {
  if (caught != 0) {  // who asks twice does not want to wait for a device
    remove_files_aside();
    restore_terminal();
    std::signal(signal, SIG_DFL);
    std::raise(signal);
  }
  caught = signal;
}

class Signals {
 public:
  Signals() {
    caught = 0;
    for (std::size_t i = 0; i < kSignals.size(); ++i) {
      before_[i] = std::signal(kSignals[i], remember);
      if (before_[i] == SIG_IGN && kSignals[i] == SIGHUP) std::signal(SIGHUP, SIG_IGN);  // nohup
    }
  }
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;
  ~Signals() {
    for (std::size_t i = 0; i < kSignals.size(); ++i) std::signal(kSignals[i], before_[i]);
  }

 private:
  static constexpr std::array<int, 4> kSignals = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};
  std::array<void (*)(int), 4> before_{};
};

Diagnostics usage_errors(const PlayArgs& args) {
  Diagnostics errors = level_usage(args.levels);
  if (args.reverb != "on" && args.reverb != "off") {
    errors.push_back(error({}, fmt::format("--reverb cannot be '{}'", printable(args.reverb)),
                           "write on or off"));
  }
  const bool audio = !args.driver.empty() || !args.device.empty() || !args.soundfont.empty();
  if (args.port && trimmed(*args.port).empty()) {
    errors.push_back(
        error({}, "--port names no port", "write a part of a name that 'arsis ports' lists"));
  }
  if (args.port && args.levels.levels == "measured") {
    errors.push_back(error({}, "--levels measured measures a SoundFont, which no port has",
                           "type the instrument's levels into the plan, as 'levels:'"));
  }
  if (args.port && audio) {
    errors.push_back(error({}, "--port does not go with an audio driver, device or SoundFont",
                           "leave out one or the other"));
  }
  std::vector<std::string> drivers = audio_drivers();
  const bool file = args.driver.starts_with(kFileDriver);
  if (!args.driver.empty() && !file &&
      (args.driver == "file" || std::ranges::find(drivers, args.driver) == drivers.end())) {
    std::erase(drivers, "file");
    drivers.emplace_back("file=NAME.wav");
    const std::vector<std::string_view> names(drivers.begin(), drivers.end());
    errors.push_back(error({}, fmt::format("--driver cannot be '{}'", printable(args.driver)),
                           "write " + listed(names)));
  }
  return errors;
}

LiveSound sound_of(const PlayArgs& args, const std::filesystem::path& soundfont) {
  LiveSound sound;
  sound.soundfont = soundfont;
  sound.synthesizer.reverb = args.reverb == "on";
  sound.synthesizer.beneath = soundfont_beneath(args.soundfont, soundfont);
  sound.output.driver = args.driver;
  sound.output.device = args.device;
  if (args.driver.starts_with(kFileDriver)) {
    sound.output.driver = "file";
    sound.output.file = args.driver.substr(kFileDriver.size());
  }
  return sound;
}

Result<LivePlayback> begin(const PlaySession& session, const PlayArgs& args) {
  const PlayerSettings settings = session.settings(args.loop);
  if (args.port) {
    Result<MidiPort> port = MidiPort::open(*args.port);
    if (!port) return port.diagnostics();
    return LivePlayback::to_port(session.rendition(), settings, *std::move(port));
  }
  const Result<std::filesystem::path> soundfont = choose_soundfont(args.soundfont, args.plan);
  if (!soundfont) return soundfont.diagnostics();
  return LivePlayback::through_synthesizer(session.rendition(), settings,
                                           sound_of(args, *soundfont));
}

// Until the end, q, a signal or a device that vanishes: then what became of it.
std::optional<std::string> attend(PlaySession& session, LivePlayback& playback,
                                  Terminal& terminal) {
  auto checked = std::chrono::steady_clock::now();
  while (caught == 0) {
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
  Result<LivePlayback> playback = begin(session, args);
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
  if (caught != 0) {
    std::fflush(stdout);  // the signal will not
    std::signal(caught, SIG_DFL);
    std::raise(caught);
  }
  return kDone;
}

}  // namespace

int run_play(const PlayArgs& args) {
  const Result<Layers> layers = layers_of(args.layers);
  Diagnostics usage = usage_errors(args);
  usage.insert(usage.end(), layers.diagnostics().begin(), layers.diagnostics().end());
  if (!usage.empty()) return report(usage), kUsageAtFault;
  int code = kDone;
  const auto prepared = prepare(args.plan, args.passage, args.levels, args.soundfont, code);
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
  command->add_option("--port", args->port,
                      "play to this MIDI port; 'arsis ports' lists them, a part of the name does");
  command->add_option("--soundfont", args->soundfont, "an SF2 or SF3 file to sound it with");
  command->add_option("--reverb", args->reverb, "on (a small room) or off")->capture_default_str();
  command->add_option("--driver", args->driver,
                      "the audio driver, as in alsa; or file=NAME.wav, which needs no device");
  command->add_option("--device", args->device, "the device of that driver");
  command->add_flag("--timings", args->timings, "say afterwards how punctual the notes were");
  command->footer("While it plays, on a terminal:\n  " + PlaySession::help());
  command->callback([&run, args] { run = [args] { return run_play(*args); }; });
}

}  // namespace arsis
