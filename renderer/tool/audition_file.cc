#include "tool/audition_file.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>
#include <vector>

#include "base/files.h"
#include "base/text.h"
#include "plan/plan_reader.h"
#include "score/alike.h"
#include "smf/joining.h"
#include "smf/performance_writer.h"
#include "sound/matched_gains.h"
#include "sound/offline.h"
#include "tool/exit_code.h"
#include "tool/render_job.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

// "0:12.3".
std::string place_in_file(Seconds at) {
  const auto tenths = std::llround(at.value * 10.0);
  return fmt::format("{}:{:02}.{}", tenths / 600, tenths / 10 % 60, tenths % 10);
}

class AuditionFile {
 public:
  AuditionFile(const Audition& audition, const AuditionArgs& args, const AudioRequest& audio)
      : audition_(audition), args_(args), audio_(audio) {}

  int write() {
    std::vector<RenderJob> inputs = {job_of(audition_.plan)};
    if (audition_.other) inputs.push_back(job_of(*audition_.other));
    if (destroys_an_input(inputs)) return kUsageAtFault;
    return is_midi(args_.output) ? write_midi_file() : write_sound();
  }

 private:
  RenderJob job_of(const Prepared& prepared) const {
    RenderJob job;
    job.output = args_.output;
    job.plan = prepared.loaded.plan.file;
    job.written = score_path(prepared.loaded.plan);
    return job;
  }

  std::string title() const {
    const std::string& piece = title_of(audition_.loaded());
    return piece.empty() ? audition_.passage : piece + ": " + audition_.passage;
  }

  Excerpt perform(const HeardReading& heard) {
    Excerpt excerpt = perform_reading(audition_, heard);
    if (&heard == &audition_.readings.front()) {
      first_ = excerpt.performance;
    } else if (sounds_alike(first_, excerpt.performance)) {
      report({warning({}, fmt::format("'{}' is heard just as the first one is", heard.name),
                      "what makes them differ is left out: see --amount, --only and --without")});
    }
    return excerpt;
  }

  void print_lines(const std::vector<Seconds>& begins) const {
    for (std::size_t i = 0; i < begins.size(); ++i) {
      fmt::print("  {:>2}  {:>7}  {}\n", i + 1, place_in_file(begins[i]),
                 line_of(audition_.readings[i], audition_.loaded().is_score_alone));
    }
  }

  int write_midi_file() {
    std::vector<NamedMidi> pieces;
    for (const HeardReading& heard : audition_.readings) {
      const Excerpt excerpt = perform(heard);
      pieces.push_back(
          {midi_of(excerpt.score, excerpt.performance, TimingForm::kTempoMap), heard.name});
    }
    const JoinedMidi made = joined(pieces, kBetweenReadings);
    const Result<Bytes> bytes = write_midi(made.file, args_.output);
    if (!bytes) return report(bytes.diagnostics()), kInputAtFault;
    const Result<Done> written = write_file(args_.output, *bytes);
    if (!written) return report(written.diagnostics()), kInputAtFault;
    fmt::print("wrote {}: {}\n", printable(args_.output, kLongestPath), audition_.passage);
    print_lines(made.begins);
    return kDone;
  }

  int write_sound() {
    const Result<fs::path> soundfont = choose_soundfont(args_.audio.soundfont, args_.plan);
    if (!soundfont) return report(soundfont.diagnostics()), kDeviceMissing;
    if (destroys_the_soundfont(args_.output, *soundfont)) return kUsageAtFault;
    AudioSettings settings = settings_of(audio_);
    settings.tags.title = title();
    Result<AudioFile> file = AudioFile::create(args_.output, settings);
    if (!file) return report(file.diagnostics()), kInputAtFault;
    if (const int code = render_all({audio_, *soundfont}); code != kDone) return code;
    const Result<std::vector<Decibels>> gains = matched_gains(rendered_, audio_.level);
    report(gains.diagnostics());
    std::vector<Seconds> begins;
    const Result<Done> written = fill(*file, *gains, begins);
    if (!written) return report(written.diagnostics()), kInputAtFault;
    fmt::print("wrote {}: {} ({:.1f} s, {})\n", printable(args_.output, kLongestPath),
               audition_.passage, length_.value, soundfont->filename().string());
    print_lines(begins);
    if (gains.diagnostics().empty()) say_loudness(gains->front());
    return kDone;
  }

  void say_loudness(Decibels gain) const {
    const double loudness = rendered_.front().meter->loudness()->value + gain.value;
    const auto& wanted = audio_.level.loudness;
    const bool softer = wanted && loudness < wanted->value - 0.05;
    fmt::print("  {:.1f} LUFS each{}\n", loudness,
               softer ? ", softer than asked for, because of the peak" : "");
  }

  int render_all(const SoundSource& source) {
    const std::vector<HeardReading>& readings = audition_.readings;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      Excerpt excerpt = perform(readings[i]);
      RenderJob job = job_of(audition_.plan);
      job.score = std::move(excerpt.score);
      job.performance = std::move(excerpt.performance);
      int code = kDone;
      auto rendered = render_job(job, source, true,
                                 fmt::format("rendering {} of {}", i + 1, readings.size()), code);
      if (!rendered) return code;
      rendered->meter->add_silence();
      rendered_.push_back(*std::move(rendered));
    }
    return kDone;
  }

  Result<Done> fill(AudioFile& file, const std::vector<Decibels>& gains,
                    std::vector<Seconds>& begins) {
    const auto between =
        static_cast<std::size_t>(kBetweenReadings.value * audio_.sample_rate);  // frames
    const std::vector<float> silence(between * 2);
    for (std::size_t i = 0; i < rendered_.size(); ++i) {
      if (i > 0) {
        const Result<Done> written = file.write(silence);
        if (!written) return written;
        length_ += Seconds{static_cast<double>(between) / audio_.sample_rate};
      }
      begins.push_back(length_);
      const Result<Done> written = append_audio(rendered_[i], gains[i], file, {});
      if (!written) return written;
      length_ += rendered_[i].length();
    }
    return file.finish();
  }

  const Audition& audition_;
  const AuditionArgs& args_;
  const AudioRequest& audio_;
  Performance first_;
  std::vector<Rendered> rendered_;
  Seconds length_{0.0};
};

}  // namespace

int write_audition(const Audition& audition, const AuditionArgs& args, const AudioRequest& audio) {
  return AuditionFile(audition, args, audio).write();
}

}  // namespace arsis
