#include "tool/lesson_sound.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "base/text.h"
#include "lesson/treatment.h"
#include "sound/clips.h"
#include "sound/matched_gains.h"
#include "sound/offline.h"
#include "sound/side_by_side.h"
#include "tool/exit_code.h"
#include "tool/report.h"

namespace arsis {
namespace {

constexpr Seconds kUsualTail{2.5};       // of a piano in a small room, for a guess at the whole
constexpr Seconds kClosingSilence{0.5};  // as LoudnessMeter::add_silence() has it
constexpr double kRenderingShare = 0.7;  // of the work of a question; the rest is coding

class SoundMaker {
 public:
  SoundMaker(const LessonSet& set, const LessonWish& wish, const LessonFolder& folder, int& code)
      : set_(set), wish_(wish), folder_(folder), code_(code) {
    quality_ = quality();
  }

  std::optional<LessonSound> make() {
    for (std::size_t i = 0; i < set_.questions.size(); ++i) {
      number_ = i;
      if (std::optional<LessonPart> kept = kept_part()) {
        sound_.parts.push_back(*std::move(kept));
        ++sound_.kept;
      } else if (!add_part()) {
        progress_.clear();
        return std::nullopt;
      }
    }
    progress_.clear();
    report(said_);
    code_ = kDone;
    return std::move(sound_);
  }

 private:
  const Question& question() const { return set_.questions[number_]; }

  ClipQuality quality() const {
    Seconds total = set_.sound;
    for (const Question& each : set_.questions) {
      total += kUsualTail * static_cast<double>(each.choices.size());
    }
    return clip_quality(total, kMostLessonSound);
  }

  std::optional<LessonPart> kept_part() const {
    std::optional<LessonPart> kept = folder_.kept(number_);
    if (!kept || kept->sounds.size() != question().choices.size()) return std::nullopt;
    return kept;
  }

  bool refuse(const Diagnostics& errors, int code = kInputAtFault) {
    progress_.clear();
    report(said_);
    report(errors);
    code_ = code;
    return false;
  }

  void show(double done) {
    progress_.show((static_cast<double>(number_) + done) /
                   static_cast<double>(set_.questions.size()));
  }

  bool add_part() {
    auto rendered = render();
    if (!rendered) return false;
    if (!fill_up(*rendered)) return false;
    const Result<std::vector<Decibels>> gains = gains_of(*rendered);
    if (!write_clip((*rendered)[question().answer], (*gains)[question().answer])) return false;
    const OpusSettings opus{.sample_rate = wish_.audio.sample_rate,
                            .channels = quality_.channels,
                            .kilobits = quality_.kilobits};
    Result<std::vector<Bytes>> coded = code_side_by_side(
        *rendered, *gains, opus, 0,
        [&](double done) { show(kRenderingShare + (1.0 - kRenderingShare) * done); });
    if (!coded) return refuse(coded.diagnostics());
    LessonPart part;
    part.frames = rendered->front().frames.size() / 2;
    part.sounds = *std::move(coded);
    const Result<Done> kept = folder_.keep(number_, part);
    if (!kept) return refuse(kept.diagnostics());
    sound_.parts.push_back(std::move(part));
    return true;
  }

  std::optional<std::vector<Rendered>> render() {
    std::vector<Excerpt> excerpts;
    for (std::size_t i = 0; i < question().choices.size(); ++i) {
      excerpts.push_back(perform_choice(set_.piece_of(question()), question(), i));
    }
    std::vector<ClipSource> sources;
    for (const Excerpt& each : excerpts) sources.push_back({&each.score, &each.performance});
    SideBySideSettings settings;
    settings.soundfont = set_.soundfont;
    settings.soundfont_beneath = set_.soundfont_beneath;
    settings.beside = folder_.clip(number_);
    settings.reverb = wish_.audio.reverb;
    settings.sample_rate = wish_.audio.sample_rate;
    settings.progress = [&](double done) { show(kRenderingShare * done); };
    bool soundfont_failed = false;
    Result<std::vector<Rendered>> rendered =
        render_side_by_side(sources, settings, soundfont_failed);
    append_once(said_, rendered.diagnostics());
    if (rendered) return *std::move(rendered);
    refuse({}, soundfont_failed ? kDeviceMissing : kInputAtFault);
    return std::nullopt;
  }

  // All to the length of the longest and a silence more, so that none is told by its own, and so
  // that whoever measures the file finds the loudness that the meter found: without silence behind
  // a sound its last blocks depend on where the file ends.
  bool fill_up(std::vector<Rendered>& rendered) {
    std::size_t longest = 0;
    for (const Rendered& each : rendered) longest = std::max(longest, each.frames.size());
    longest += 2 * static_cast<std::size_t>(kClosingSilence.value * wish_.audio.sample_rate);
    constexpr std::array<float, 8192> kSilence{};
    for (Rendered& each : rendered) {
      each.meter->add_silence();
      while (each.frames.size() < longest) {
        const std::size_t missing = std::min(longest - each.frames.size(), kSilence.size());
        const Result<Done> added = each.frames.add(std::span(kSilence).first(missing));
        if (!added) return refuse(added.diagnostics());
      }
    }
    return true;
  }

  Result<std::vector<Decibels>> gains_of(const std::vector<Rendered>& rendered) {
    Result<std::vector<Decibels>> gains = matched_gains(rendered, wish_.audio.level);
    append_once(said_, gains.diagnostics());
    const auto loudness = rendered.front().meter->loudness();
    constexpr Decibels kUnheard{0.05};
    if (loudness &&
        *loudness + Lufs{gains->front().value + kUnheard.value} < *wish_.audio.level.loudness) {
      ++sound_.softened;
    }
    return gains;
  }

  bool write_clip(Rendered& rendered, Decibels gain) {
    AudioSettings settings = wish_.settings;
    settings.tags.title = folder_.clip(number_).stem().string();
    Result<AudioFile> file = AudioFile::create(folder_.clip(number_), settings);
    if (!file) return refuse(file.diagnostics());
    const Result<Done> written = write_audio(rendered, gain, *file, {});
    return written ? true : refuse(written.diagnostics());
  }

  const LessonSet& set_;
  const LessonWish& wish_;
  const LessonFolder& folder_;
  int& code_;
  ClipQuality quality_;
  std::size_t number_ = 0;  // of the question, from 0
  Progress progress_{"rendering"};
  Diagnostics said_;
  LessonSound sound_;
};

}  // namespace

std::optional<LessonSound> make_lesson_sound(const LessonSet& set, const LessonWish& wish,
                                             const LessonFolder& folder, int& code) {
  return SoundMaker(set, wish, folder, code).make();
}

}  // namespace arsis
