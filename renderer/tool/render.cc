#include "tool/render.h"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <memory>

#include "base/files.h"
#include "base/text.h"
#include "plan/plan_reader.h"
#include "shape/perform.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "sound/audio_file.h"
#include "sound/offline.h"
#include "sound/soundfont.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t kLongestName = 4096;  // bytes of a path to print

bool is_midi(const fs::path& path) {
  const std::string ending = lower_case(path.extension().string());
  return ending == ".mid" || ending == ".midi";
}

Diagnostics usage_errors(const RenderArgs& args) {
  Diagnostics errors;
  if (!is_midi(args.output) && !audio_format_of(args.output)) {
    errors.push_back(
        error({}, fmt::format("the ending of '{}' names no format", printable(args.output)),
              "use .mid, " + listed(audio_endings())));
  }
  if (args.timing != "tempo-map" && args.timing != "ticks") {
    errors.push_back(error({}, fmt::format("--timing cannot be '{}'", printable(args.timing)),
                           "write tempo-map or ticks"));
  }
  if (args.reverb != "on" && args.reverb != "off") {
    errors.push_back(error({}, fmt::format("--reverb cannot be '{}'", printable(args.reverb)),
                           "write on or off"));
  }
  return errors;
}

// Whether writing the output would destroy what it is made from.
bool is_an_input(const RenderArgs& args, const Plan& plan) {
  std::error_code ignored;
  return fs::equivalent(args.output, score_path(plan), ignored) ||
         fs::equivalent(args.output, args.plan, ignored);
}

int write_midi_file(const Loaded& loaded, const Shaped& shaped, const RenderArgs& args) {
  const TimingForm form = args.timing == "ticks" ? TimingForm::kTicks : TimingForm::kTempoMap;
  const MidiFile file = midi_of(loaded.score, shaped.performance, form);
  const Result<Bytes> bytes = write_midi(file, args.output);
  if (!bytes) return report(bytes.diagnostics()), kInputAtFault;
  const Result<Done> written = write_file(args.output, *bytes);
  if (!written) return report(written.diagnostics()), kInputAtFault;
  fmt::print("wrote {}\n", printable(args.output, kLongestName));
  return kDone;
}

Result<fs::path> soundfont_for(const RenderArgs& args) {
  const char* environment = std::getenv("ARSIS_SOUNDFONT");
  SoundFontSearch search;
  search.named = args.soundfont;
  search.environment = environment == nullptr ? "" : environment;
  search.folders = {"soundfonts", fs::path(args.plan).parent_path() / "../soundfonts"};
  search.cache = cache_folder(std::getenv("XDG_CACHE_HOME"), std::getenv("HOME"));
  search.system = system_soundfonts();
  return find_soundfont(search);
}

int write_audio_file(const Loaded& loaded, const Shaped& shaped, const RenderArgs& args) {
  const Result<fs::path> soundfont = soundfont_for(args);
  if (!soundfont) return report(soundfont.diagnostics()), kDeviceMissing;
  std::error_code ignored;
  if (fs::equivalent(args.output, *soundfont, ignored)) {
    report(fail({.file = args.output}, "is the SoundFont that sounds it",
                "name another file to write"));
    return kUsageAtFault;
  }
  Progress progress("rendering");
  OfflineRequest request;
  request.soundfont = *soundfont;
  request.target = args.output;
  request.title = loaded.plan.title.empty() ? loaded.score.title : loaded.plan.title;
  request.synthesizer.reverb = args.reverb == "on";
  request.progress = [&](double done) { progress.show(done); };
  bool soundfont_failed = false;
  const Result<OfflineReport> done =
      render_offline(loaded.score, shaped.performance, request, soundfont_failed);
  progress.clear();
  if (!done) {
    report(done.diagnostics());
    return soundfont_failed ? kDeviceMissing : kInputAtFault;
  }
  report(done.diagnostics());
  fmt::print("wrote {} ({:.1f} s, {})\n", printable(args.output, kLongestName), done->length.value,
             soundfont->filename().string());
  if (done->scaled_by < 1.0) {
    fmt::print("  turned down by {:.1f} dB as a whole, so that nothing clips\n",
               -to_decibels(done->scaled_by).value);
  }
  return kDone;
}

}  // namespace

int run_render(const RenderArgs& args) {
  const Result<Layers> layers = layers_of(args.layers);
  Diagnostics usage = usage_errors(args);
  usage.insert(usage.end(), layers.diagnostics().begin(), layers.diagnostics().end());
  if (!usage.empty()) return report(usage), kUsageAtFault;
  const Result<Loaded> loaded = load(args.plan);
  report(loaded.diagnostics());
  if (!loaded) return kInputAtFault;
  if (is_an_input(args, loaded->plan)) {
    report(fail({.file = args.output}, "is what the performance is made from",
                "name another file to write"));
    return kUsageAtFault;
  }
  const Shaped shaped = perform(loaded->score, loaded->bound, *layers);
  return is_midi(args.output) ? write_midi_file(*loaded, shaped, args)
                              : write_audio_file(*loaded, shaped, args);
}

void add_render(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<RenderArgs>();
  CLI::App* command = app.add_subcommand("render", "Write a performance as MIDI or audio");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file")->required();
  command
      ->add_option("-o,--output", args->output,
                   "the file to write: .mid, .wav, .flac, .ogg, .opus or .mp3")
      ->required();
  command
      ->add_option("--timing", args->timing,
                   "in a MIDI file: tempo-map keeps notes on their written beats, ticks keeps one "
                   "tempo and moves the notes")
      ->capture_default_str();
  add_layer_options(*command, args->layers);
  command->add_option("--soundfont", args->soundfont, "an SF2 or SF3 file to sound it with");
  command->add_option("--reverb", args->reverb, "on (a small room) or off")->capture_default_str();
  command->callback([&run, args] { run = [args] { return run_render(*args); }; });
}

}  // namespace arsis
