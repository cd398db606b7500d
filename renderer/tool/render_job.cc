// The sound of a set of performances, and questions about the files that it is written to.
#include "tool/render_job.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "base/files.h"
#include "base/text.h"
#include "sound/offline.h"
#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

class AudioSet {
 public:
  AudioSet(std::span<const RenderJob> jobs, const SoundSource& source)
      : jobs_(jobs), source_(source) {}

  int write() {
    for (const RenderJob& job : jobs_) {
      if (const int code = begin(job); code != kDone) return code;
    }
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      if (const int code = render(i); code != kDone) return code;
    }
    const Result<CommonGain> gain = common_gain(rendered_, source_.audio.level);
    report(gain.diagnostics());
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      const Result<Done> written = write_audio(rendered_[i], gain->gain, files_[i], {});
      if (!written) return report(written.diagnostics()), kInputAtFault;
      fmt::print("wrote {} ({:.1f} s, {})\n", printable(jobs_[i].output.string(), kLongestPath),
                 rendered_[i].length().value, source_.soundfont.filename().string());
    }
    say(*gain);
    return kDone;
  }

 private:
  int begin(const RenderJob& job) {
    if (destroys_the_soundfont(job.output, source_.soundfont)) return kUsageAtFault;
    AudioSettings settings = settings_of(source_.audio);
    settings.tags.title =
        job.version.empty() ? job.title : fmt::format("{} ({})", job.title, job.version);
    Result<AudioFile> file = AudioFile::create(job.output, settings);
    if (!file) return report(file.diagnostics()), kInputAtFault;
    files_.push_back(*std::move(file));
    return kDone;
  }

  int render(std::size_t index) {
    const std::string what = jobs_.size() == 1
                                 ? std::string("rendering")
                                 : fmt::format("rendering {} of {}", index + 1, jobs_.size());
    int code = kDone;
    auto rendered =
        render_job(jobs_[index], source_, source_.audio.level.needs_meter(), what, code);
    if (rendered) rendered_.push_back(*std::move(rendered));
    return code;
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

  std::span<const RenderJob> jobs_;
  const SoundSource& source_;
  std::vector<AudioFile> files_;
  std::vector<Rendered> rendered_;
};

}  // namespace

bool is_midi(const fs::path& path) {
  const std::string ending = lower_case(path.extension().string());
  return ending == ".mid" || ending == ".midi";
}

AudioSettings settings_of(const AudioRequest& audio) {
  AudioSettings settings;
  settings.sample_rate = audio.sample_rate;
  settings.depth = audio.depth;
  return settings;
}

Diagnostics output_usage(const std::string& output, const std::optional<AudioRequest>& audio) {
  if (audio_format_of(output)) {
    return audio ? check_audio(output, settings_of(*audio)).diagnostics() : Diagnostics{};
  }
  if (is_midi(output)) return {};
  return {error({}, fmt::format("the ending of '{}' names no format", printable(output)),
                "use .mid, " + listed(audio_endings()))};
}

bool destroys_an_input(std::span<const RenderJob> jobs) {
  for (const RenderJob& job : jobs) {
    const bool is_input = std::ranges::any_of(jobs, [&](const RenderJob& other) {
      return same_file(job.output, other.plan) || same_file(job.output, other.written);
    });
    if (!is_input) continue;
    report(fail({.file = job.output.string()}, "is what a performance is made from",
                "name another file to write"));
    return true;
  }
  return false;
}

bool destroys_the_soundfont(const fs::path& output, const fs::path& soundfont) {
  if (!same_file(output, soundfont)) return false;
  report(fail({.file = output.string()}, "is the SoundFont that sounds it",
              "name another file to write"));
  return true;
}

std::optional<Rendered> render_job(const RenderJob& job, const SoundSource& source,
                                   bool measures_loudness, std::string_view what, int& code) {
  Progress progress(what);
  RenderRequest request;
  request.soundfont = source.soundfont;
  request.beside = job.output;
  request.bank.synthesizer.sample_rate = source.audio.sample_rate;
  request.bank.synthesizer.reverb = source.audio.reverb;
  request.bank.synthesizer.beneath = soundfont_beneath(source.audio.soundfont, source.soundfont);
  request.measures_loudness = measures_loudness;
  request.progress = [&](double done) { progress.show(done); };
  bool soundfont_failed = false;
  Result<Rendered> rendered = render_frames(job.score, job.performance, request, soundfont_failed);
  progress.clear();
  report(rendered.diagnostics());
  if (rendered) return *std::move(rendered);
  code = soundfont_failed ? kDeviceMissing : kInputAtFault;
  return std::nullopt;
}

int write_audio_set(std::span<const RenderJob> jobs, const SoundSource& source) {
  return AudioSet(jobs, source).write();
}

}  // namespace arsis
