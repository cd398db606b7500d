#include "tool/listening.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <utility>

#include "base/files.h"
#include "base/text.h"
#include "page/listening_page.h"
#include "sound/clips.h"
#include "take/replay.h"
#include "tool/exit_code.h"
#include "tool/listening_data.h"
#include "tool/report.h"
#include "tool/same_score.h"
#include "tool/soundfont_choice.h"
#include "tool/versions.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

// Bytes: what can be sent about without complaint, less what time maps and script take.
constexpr std::size_t kUsualPage = 7'500'000;
constexpr std::size_t kLeastSound = 3'000'000;
constexpr std::size_t kLongestLabel = 40;  // bytes of a reading's name

// One performance of the page.
struct PageVoice {
  std::string label;
  Score score;
  Performance performance;
  TimeMap time;  // of the score's beats, moved
  Beats moved;   // added to a beat of the score gives that of `time`
};

PageVoice voice_of(std::string label, Excerpt excerpt) {
  TimeMap time = excerpt.performance.time;
  return {std::move(label), std::move(excerpt.score), std::move(excerpt.performance),
          std::move(time), excerpt.moved};
}

std::string label_of(const std::string& version) {
  return version == "flat" || version == "shaped" ? version : version + " alone";
}

// Flat, shaped, and the levels that the plan has.
std::vector<std::string> usual_versions(const BoundPlan& plan) {
  std::vector<std::string> words = {"flat", "shaped"};
  for (const Level level : kEveryLevel) {
    if (!plan.level(level).empty()) words.emplace_back(name_of(level));
  }
  return words;
}

Excerpt performed(const Loaded& loaded, const Passage& passage, const Layers& layers,
                  const Instrument& instrument) {
  if (!passage.whole) return perform_passage(loaded, passage, layers, instrument);
  return {
      loaded.score, perform(loaded.score, loaded.bound, layers, instrument).performance, {}, {}};
}

class Maker {
 public:
  Maker(const ListeningRequest& request, const ListeningOptions& options, int& code)
      : request_(request), options_(options), code_(code) {}

  std::optional<std::string> make() {
    if (!read_words() || !find_instrument() || !add_versions() || !add_readings() || !add_take() ||
        !is_short_enough() || !draw()) {
      return std::nullopt;
    }
    auto clips = render();
    if (!clips) return std::nullopt;
    code_ = kDone;
    return page_of(*clips);
  }

 private:
  bool refuse(int code, const Diagnostics& errors) {
    report(errors);
    code_ = code;
    return false;
  }

  bool read_words() {
    Diagnostics errors = level_usage(options_.levels);
    if (options_.reverb != "on" && options_.reverb != "off") {
      errors.push_back(error({}, fmt::format("--reverb cannot be '{}'", printable(options_.reverb)),
                             "write on or off"));
    }
    return errors.empty() || refuse(kUsageAtFault, errors);
  }

  bool find_instrument() {
    Result<Instrument> instrument = instrument_of(
        options_.levels, request_.loaded,
        [&] { return choose_soundfont(options_.soundfont, request_.plan); }, code_);
    report(instrument.diagnostics());
    if (!instrument) return false;
    instrument_ = *std::move(instrument);
    return true;
  }

  bool destroys(const fs::path& input) {
    if (!same_file(request_.output, input)) return false;
    return !refuse(kUsageAtFault, fail({.file = request_.output}, "is what the page is made from",
                                       "name another file to write"));
  }

  bool add_versions() {
    const std::vector<std::string> words =
        options_.versions.empty() ? usual_versions(request_.loaded.bound) : options_.versions;
    const auto versions = versions_of(words, request_.picture.layers);
    if (!versions) return refuse(kUsageAtFault, versions.diagnostics());
    const std::size_t takes = request_.take == nullptr ? 0 : 1;
    if (versions->size() + options_.readings.size() + takes > kMostVoices) {
      return refuse(
          kUsageAtFault,
          fail({}, "these are too many voices for one page",
               fmt::format("--versions, --reading and --take may name {} together", kMostVoices)));
    }
    for (const Version& version : *versions) {
      voices_.push_back(
          voice_of(label_of(version.name),
                   performed(request_.loaded, request_.passage, version.layers, instrument_)));
    }
    return true;
  }

  bool add_readings() {
    for (const std::string& name : options_.readings) {
      if (destroys(name)) return false;
      const Result<Loaded> other = load(name);
      report(other.diagnostics());
      if (!other) return refuse(kInputAtFault, {});
      if (const Diagnostics errors = differing_scores(request_.loaded, *other); !errors.empty()) {
        return refuse(kInputAtFault, errors);
      }
      voices_.push_back(
          voice_of("reading: " + printable(fs::path(name).stem().string(), kLongestLabel),
                   performed(*other, request_.passage, request_.picture.layers, instrument_)));
    }
    return true;
  }

  bool add_take() {
    if (request_.take == nullptr) return true;
    const auto& [file, alignment] = *request_.take;
    const Loaded& loaded = request_.loaded;
    Replay replay =
        replay_of(loaded.score, loaded.bound, file.take, alignment, request_.passage.excerpt.span);
    if (replay.score.notes.empty()) {
      report({warning({.file = file.path.string()}, "has nothing of this passage to be heard",
                      "name bars that were played")});
      return true;
    }
    voices_.push_back({"take: " + printable(file.path.stem().string(), kLongestLabel),
                       std::move(replay.score),
                       std::move(replay.performance),
                       std::move(replay.time),
                       {}});
    return true;
  }

  bool is_short_enough() {
    Seconds total;
    for (const PageVoice& voice : voices_) {
      Seconds end;
      for (const PerformedNote& note : voice.performance.notes) {
        end = std::max(end, note.end);
      }
      total += end;
    }
    if (total <= kLongestVoices) return true;
    return refuse(
        kInputAtFault,
        fail({.file = request_.plan},
             fmt::format("{} voices of this piece sound for {:.0f} minutes, too long for one page",
                         voices_.size(), total.value / 60.0),
             fmt::format("{:.0f} minutes are possible: name a passage, or fewer voices with "
                         "--versions shaped",
                         kLongestVoices.value / 60.0)));
  }

  std::optional<ClipSet> render() {
    const Result<fs::path> soundfont = choose_soundfont(options_.soundfont, request_.plan);
    if (!soundfont) return refuse(kDeviceMissing, soundfont.diagnostics()), std::nullopt;
    if (destroys(*soundfont)) return std::nullopt;
    std::vector<ClipSource> sources;
    for (const PageVoice& voice : voices_) {
      sources.push_back({&voice.score, &voice.performance});
    }
    Progress progress("rendering");
    ClipSettings settings;
    settings.soundfont = *soundfont;
    settings.soundfont_beneath = soundfont_beneath(options_.soundfont, *soundfont);
    settings.beside = request_.output;
    settings.reverb = options_.reverb == "on";
    settings.most_bytes = room_for_sound();
    settings.progress = [&](double done) { progress.show(done); };
    bool soundfont_failed = false;
    Result<ClipSet> clips = render_clips(sources, settings, soundfont_failed);
    progress.clear();
    report(clips.diagnostics());
    if (clips) return *std::move(clips);
    code_ = soundfont_failed ? kDeviceMissing : kInputAtFault;
    return std::nullopt;
  }

  bool draw() {
    for (const auto& [lines, width] :
         {std::pair{&wide_, kScreenLine}, std::pair{&narrow_, kPhoneLine}}) {
      auto drawn =
          draw_lines(request_.picture, request_.passage.excerpt.span, width, request_.staves);
      if (!drawn) return refuse(kInputAtFault, drawn.diagnostics());
      *lines = *std::move(drawn);
    }
    return true;
  }

  // What the picture leaves of a page of usual size, as bytes before base64.
  std::size_t room_for_sound() const {
    std::size_t drawing = 0;
    for (const DrawnSystem& system : wide_) drawing += system.svg.size();
    for (const DrawnSystem& system : narrow_) drawing += system.svg.size();
    return std::max(kLeastSound, (kUsualPage - std::min(drawing, kUsualPage)) / 4 * 3);
  }

  std::string page_of(ClipSet& clips) const {
    ListeningPage page;
    page.title = request_.picture.title;
    page.subtitle = request_.picture.subtitle;
    page.wide = wide_;
    page.narrow = narrow_;
    std::vector<VoiceTime> times;
    for (std::size_t i = 0; i < voices_.size(); ++i) {
      const PageVoice& voice = voices_[i];
      if (voice.label == "shaped") page.voice = i;
      times.push_back({voice.label, voice.time, voice.moved, clips.clips[i].length});
      page.voices.push_back({voice.label, std::move(clips.clips[i].opus)});
    }
    page.data = listening_data(
        {request_.loaded.score, request_.loaded.bound, times, wide_, narrow_, clips.sample_rate});
    return listening_page(page);
  }

  const ListeningRequest& request_;
  const ListeningOptions& options_;
  int& code_;
  Instrument instrument_;
  std::vector<PageVoice> voices_;
  std::vector<DrawnSystem> wide_;
  std::vector<DrawnSystem> narrow_;
};

}  // namespace

void add_listening_options(CLI::App& command, ListeningOptions& options) {
  command
      .add_option("--reading", options.readings,
                  "in .html: a plan of the same score with other mains, to compare; several times")
      ->allow_extra_args(false);
  command
      .add_option("--versions", options.versions,
                  "in .html: what can be heard, of flat,shaped,motif,phrase,sentence,piece, joined "
                  "by commas; all that the plan has if you say nothing")
      ->delimiter(',')
      ->allow_extra_args(false);
  add_level_options(command, options.levels);
  command.add_option("--soundfont", options.soundfont,
                     "in .html: an SF2 or SF3 file to sound it with");
  command.add_option("--reverb", options.reverb, "in .html: on (a small room) or off")
      ->capture_default_str();
}

bool asks_for_sound(const ListeningOptions& options) {
  return !options.readings.empty() || !options.versions.empty() || !options.soundfont.empty() ||
         !options.levels.levels.empty() || options.reverb != "on";
}

std::optional<std::string> listening_html(const ListeningRequest& request,
                                          const ListeningOptions& options, int& code) {
  return Maker(request, options, code).make();
}

}  // namespace arsis
