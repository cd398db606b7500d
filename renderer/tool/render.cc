#include "tool/render.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <utility>

#include "base/files.h"
#include "base/text.h"
#include "plan/plan_reader.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "sound/audio_file.h"
#include "sound/offline.h"
#include "tool/exit_code.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"
#include "tool/versions.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t kLongestName = 4096;     // bytes of a path to print
constexpr std::size_t kMostPerformances = 24;  // of one run: their sound waits for a common gain

bool is_midi(const fs::path& path) {
  const std::string ending = lower_case(path.extension().string());
  return ending == ".mid" || ending == ".midi";
}

// One file to be written.
struct Job {
  fs::path output;
  fs::path plan;
  fs::path written;  // the score that the plan names
  std::string title;
  std::string version;
  Score score;
  Performance performance;
};

// What the command line asks for, its words read.
struct Wish {
  std::vector<Version> versions;
  AudioRequest audio;
};

template <class Value>
std::optional<Value> take(Result<Value> result, Diagnostics& errors) {
  errors.insert(errors.end(), result.diagnostics().begin(), result.diagnostics().end());
  if (!result) return std::nullopt;
  return *std::move(result);
}

AudioSettings settings_of(const AudioRequest& audio) {
  AudioSettings settings;
  settings.sample_rate = audio.sample_rate;
  settings.depth = audio.depth;
  return settings;
}

void question_output(const RenderArgs& args, const std::optional<AudioRequest>& audio,
                     Diagnostics& errors) {
  const bool is_audio = audio_format_of(args.output).has_value();
  if (!is_midi(args.output) && !is_audio) {
    errors.push_back(
        error({}, fmt::format("the ending of '{}' names no format", printable(args.output)),
              "use .mid, " + listed(audio_endings())));
  }
  if (is_audio && audio) take(check_audio(args.output, settings_of(*audio)), errors);
  if (args.timing != "tempo-map" && args.timing != "ticks") {
    errors.push_back(error({}, fmt::format("--timing cannot be '{}'", printable(args.timing)),
                           "write tempo-map or ticks"));
  }
}

Result<Wish> wish_of(const RenderArgs& args) {
  Diagnostics errors;
  const auto layers = take(layers_of(args.layers), errors);
  const auto audio = take(audio_request_of(args.audio), errors);
  question_output(args, audio, errors);
  for (const Diagnostic& wrong : level_usage(args.levels)) errors.push_back(wrong);
  Wish wish;
  if (const auto versions = take(versions_of(args.versions, layers.value_or(Layers{})), errors)) {
    wish.versions = *versions;
  }
  if (args.plans.size() * std::max<std::size_t>(wish.versions.size(), 1) > kMostPerformances) {
    errors.push_back(error({}, "these are too many performances for one run",
                           fmt::format("write at most {}", kMostPerformances)));
  }
  if (!errors.empty()) return errors;
  wish.audio = *audio;
  return wish;
}

// "out.flac" for the only performance; "out-PLAN-VERSION.flac" where there are several plans or
// versions.
fs::path output_of(const RenderArgs& args, const std::string& plan, const Version& version) {
  fs::path output = args.output;
  std::string name = output.stem().string();
  if (args.plans.size() > 1) name += "-" + fs::path(plan).stem().string();
  if (!version.name.empty()) name += "-" + version.name;
  return output.replace_filename(name + output.extension().string());
}

// Whether writing would destroy what a performance of the run is made from.
bool destroys_an_input(const std::vector<Job>& jobs) {
  for (const Job& job : jobs) {
    const bool is_input = std::ranges::any_of(jobs, [&](const Job& other) {
      return same_file(job.output, other.plan) || same_file(job.output, other.written);
    });
    if (!is_input) continue;
    report(fail({.file = job.output.string()}, "is what a performance is made from",
                "name another file to write"));
    return true;
  }
  return false;
}

// The whole piece as it is, or the passage of it.
void perform_into(Job& job, const Loaded& loaded, const Passage& passage, const Layers& layers,
                  const Instrument& instrument) {
  if (passage.whole) {
    job.performance = perform(loaded.score, loaded.bound, layers, instrument).performance;
    job.score = loaded.score;
    return;
  }
  Excerpt excerpt = perform_passage(loaded, passage, layers, instrument);
  job.score = std::move(excerpt.score);
  job.performance = std::move(excerpt.performance);
}

int add_jobs(const RenderArgs& args, const Wish& wish, const std::string& plan,
             std::vector<Job>& jobs) {
  int code = kDone;
  const auto prepared = prepare(plan, args.passage, args.levels, args.audio.soundfont, code);
  if (!prepared) return code;
  const Loaded& loaded = prepared->loaded;
  for (const Version& version : wish.versions) {
    Job& job = jobs.emplace_back();
    job.output = output_of(args, plan, version);
    job.plan = plan;
    job.written = score_path(loaded.plan);
    job.title = loaded.plan.title.empty() ? loaded.score.title : loaded.plan.title;
    job.version = version.name;
    perform_into(job, loaded, prepared->passage, layers_for(loaded, version.layers, args.layers),
                 prepared->instrument);
  }
  return kDone;
}

bool have_one_name(const std::vector<Job>& jobs) {
  std::vector<fs::path> outputs;
  for (const Job& job : jobs) outputs.push_back(job.output);
  std::ranges::sort(outputs);
  const auto twice = std::ranges::adjacent_find(outputs);
  if (twice == outputs.end()) return false;
  report(
      fail({.file = twice->string()}, "would be written twice", "give the plans different names"));
  return true;
}

int write_midi_files(const std::vector<Job>& jobs, const RenderArgs& args) {
  const TimingForm form = args.timing == "ticks" ? TimingForm::kTicks : TimingForm::kTempoMap;
  for (const Job& job : jobs) {
    const Result<Bytes> bytes =
        write_midi(midi_of(job.score, job.performance, form), job.output.string());
    if (!bytes) return report(bytes.diagnostics()), kInputAtFault;
    const Result<Done> written = write_file(job.output, *bytes);
    if (!written) return report(written.diagnostics()), kInputAtFault;
    fmt::print("wrote {}\n", printable(job.output.string(), kLongestName));
  }
  return kDone;
}

// The sound of all jobs, each with its file begun, so that what cannot be written is said before
// the work.
class AudioSet {
 public:
  AudioSet(const std::vector<Job>& jobs, const AudioRequest& audio, fs::path soundfont)
      : jobs_(jobs), audio_(audio), soundfont_(std::move(soundfont)) {}

  int write() {
    for (const Job& job : jobs_) {
      if (const int code = begin(job); code != kDone) return code;
    }
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      if (const int code = render(i); code != kDone) return code;
    }
    const Result<CommonGain> gain = common_gain(rendered_, audio_.level);
    report(gain.diagnostics());
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      const Result<Done> written = write_audio(rendered_[i], gain->gain, files_[i], {});
      if (!written) return report(written.diagnostics()), kInputAtFault;
      fmt::print("wrote {} ({:.1f} s, {})\n", printable(jobs_[i].output.string(), kLongestName),
                 rendered_[i].length().value, soundfont_.filename().string());
    }
    say(*gain);
    return kDone;
  }

 private:
  int begin(const Job& job) {
    std::error_code ignored;
    if (fs::equivalent(job.output, soundfont_, ignored)) {
      report(fail({.file = job.output.string()}, "is the SoundFont that sounds it",
                  "name another file to write"));
      return kUsageAtFault;
    }
    AudioSettings settings = settings_of(audio_);
    settings.tags.title =
        job.version.empty() ? job.title : fmt::format("{} ({})", job.title, job.version);
    Result<AudioFile> file = AudioFile::create(job.output, settings);
    if (!file) return report(file.diagnostics()), kInputAtFault;
    files_.push_back(*std::move(file));
    return kDone;
  }

  int render(std::size_t index) {
    Progress progress(jobs_.size() == 1
                          ? std::string("rendering")
                          : fmt::format("rendering {} of {}", index + 1, jobs_.size()));
    RenderRequest request;
    request.soundfont = soundfont_;
    request.beside = jobs_[index].output;
    request.bank.synthesizer.sample_rate = audio_.sample_rate;
    request.bank.synthesizer.reverb = audio_.reverb;
    request.bank.synthesizer.beneath = soundfont_beneath(audio_.soundfont, soundfont_);
    request.measures_loudness = audio_.level.needs_meter();
    request.progress = [&](double done) { progress.show(done); };
    bool soundfont_failed = false;
    Result<Rendered> rendered =
        render_frames(jobs_[index].score, jobs_[index].performance, request, soundfont_failed);
    progress.clear();
    report(rendered.diagnostics());
    if (!rendered) return soundfont_failed ? kDeviceMissing : kInputAtFault;
    rendered_.push_back(*std::move(rendered));
    return kDone;
  }

  void say(const CommonGain& gain) const {
    const char* all = jobs_.size() == 1 ? "as a whole" : "all alike";
    if (gain.loudness) {
      fmt::print("  {:.1f} LUFS{}\n", gain.loudness->value,
                 gain.is_limited ? ", softer than asked for, because of the peak" : "");
    } else if (gain.gain.value < 0.0) {
      fmt::print("  turned down by {:.1f} dB {}, so that nothing clips\n", -gain.gain.value, all);
    }
  }

  const std::vector<Job>& jobs_;
  const AudioRequest& audio_;
  fs::path soundfont_;
  std::vector<AudioFile> files_;
  std::vector<Rendered> rendered_;
};

}  // namespace

int run_render(const RenderArgs& args) {
  const Result<Wish> wish = wish_of(args);
  if (!wish) return report(wish.diagnostics()), kUsageAtFault;
  std::vector<Job> jobs;
  for (const std::string& plan : args.plans) {
    if (const int code = add_jobs(args, *wish, plan, jobs); code != kDone) return code;
  }
  if (have_one_name(jobs) || destroys_an_input(jobs)) return kUsageAtFault;
  if (is_midi(args.output)) return write_midi_files(jobs, args);
  const Result<fs::path> soundfont = choose_soundfont(args.audio.soundfont, args.plans.front());
  if (!soundfont) return report(soundfont.diagnostics()), kDeviceMissing;
  return AudioSet(jobs, wish->audio, *soundfont).write();
}

void add_render(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<RenderArgs>();
  CLI::App* command = app.add_subcommand("render", "Write a performance as MIDI or audio");
  command->add_option("plan", args->plans, "the phrase plan, a YAML file, or a score; or several")
      ->required();
  command
      ->add_option("-o,--output", args->output,
                   "the file to write: .mid, .wav, .flac, .ogg, .opus or .mp3")
      ->required();
  command
      ->add_option("--versions", args->versions,
                   "several files in one run, each with its word in its name: of "
                   "flat,shaped,motif,phrase,sentence,piece, joined by commas")
      ->delimiter(',')
      ->allow_extra_args(false);
  add_passage_options(*command, args->passage);
  add_layer_options(*command, args->layers);
  add_level_options(*command, args->levels);
  command
      ->add_option("--timing", args->timing,
                   "in a MIDI file: tempo-map keeps notes on their written beats, ticks keeps one "
                   "tempo and moves the notes")
      ->capture_default_str();
  command->add_flag("--keep-muted", args->passage.keep_muted,
                    "in a MIDI file: keep what is muted there, silent");
  add_audio_options(*command, args->audio);
  command->callback([&run, args] { run = [args] { return run_render(*args); }; });
}

}  // namespace arsis
