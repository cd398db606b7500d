#include "tool/take_record.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <chrono>
#include <csignal>
#include <memory>
#include <optional>
#include <vector>

#include "base/files.h"
#include "base/text.h"
#include "shape/instrument.h"
#include "smf/recording.h"
#include "sound/midi_input.h"
#include "take/played.h"
#include "tool/exit_code.h"
#include "tool/play_session.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/stop_sign.h"
#include "tool/stop_signals.h"
#include "tool/take_file.h"
#include "tool/terminal.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds kLook{40};         // between two looks at keys and port
constexpr std::chrono::milliseconds kDeviceLook{500};  // between two looks at the devices

enum class Ending : std::uint8_t { kGoesOn, kKey, kSign, kSignal, kFull, kPortGone, kDiskFull };

// What is recorded, in memory and in the file that grows.
class Recorder {
 public:
  Recorder(MidiInput input, GrowingRecording file, Clock::time_point start)
      : input_(std::move(input)), file_(std::move(file)), start_(start) {}

  Seconds now() const { return {std::chrono::duration<double>(Clock::now() - start_).count()}; }
  const std::vector<RecordedMessage>& messages() const { return messages_; }
  std::size_t notes() const { return notes_; }

  // Takes over what has come.
  Ending attend() {
    const std::size_t before = messages_.size();
    for (const ReceivedMessage& received : input_.received()) {
      RecordedMessage message;
      message.at = {std::max(0.0, std::chrono::duration<double>(received.at - start_).count())};
      message.bytes = received.bytes;
      message.size = received.size;
      messages_.push_back(message);
      sign_.hear(message);
      notes_ += message.is_note_on() ? 1 : 0;
    }
    const Result<Done> written = file_.add(std::span(messages_).subspan(before));
    if (!written) {
      report(written.diagnostics());
      return Ending::kDiskFull;
    }
    if (notes_ >= Take::kMostNotes) return Ending::kFull;
    return sign_.is_given(now()) ? Ending::kSign : Ending::kGoesOn;
  }

  bool connected() const { return input_.connected(); }
  const std::string& port() const { return input_.name(); }

 private:
  MidiInput input_;
  GrowingRecording file_;
  Clock::time_point start_;
  std::vector<RecordedMessage> messages_;
  std::size_t notes_ = 0;
  StopSign sign_;
};

// The score without any hand, with what is to be counted in and clicked.
Passage click_of(const Loaded& loaded, Passage passage) {
  passage.excerpt.parts.assign(loaded.score.parts.size(), Hearing::kLeftOut);
  passage.whole = false;
  return passage;
}

Layers even_time() {
  Layers layers;
  layers.amount = 0.0;
  layers.touch = false;
  return layers;
}

std::string status_of(const Recorder& recorder) {
  const int seconds = static_cast<int>(recorder.now().value);
  return fmt::format("recording {}:{:02}  {} notes", seconds / 60, seconds % 60, recorder.notes());
}

Ending attend(Recorder& recorder, std::optional<LivePlayback>& click) {
  Terminal terminal;
  if (terminal.interactive()) {
    report(fmt::format("recording from {}; q, or the two lowest keys held for a second, ends it",
                       printable(recorder.port(), 200)));
  }
  auto checked = Clock::now();
  while (true) {
    if (const Ending ending = recorder.attend(); ending != Ending::kGoesOn) return ending;
    if (StopSignals::caught() != 0) return Ending::kSignal;
    terminal.show(status_of(recorder));
    if (const auto key = terminal.read_key(kLook); key && key->letter == 'q') return Ending::kKey;
    const auto now = Clock::now();
    if (now - checked < kDeviceLook) continue;
    checked = now;
    if (!recorder.connected()) {
      recorder.attend();
      return Ending::kPortGone;
    }
    if (!click) continue;
    if (const auto fault = click->fault()) {
      report({warning({}, *fault, "the recording goes on without it")});
      click.reset();
    }
  }
}

RecordingHead head_of(const Loaded& loaded) {
  RecordingHead head;
  head.title = title_of(loaded);
  head.date = fmt::format(
      "{:%Y-%m-%d %H:%M:%S}",
      fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())));
  head.microseconds_per_quarter = loaded.score.tempo.microseconds_per_quarter_at({0.0});
  return head;
}

// The finished file in the place of the one that grew. False: that one stays.
bool finish(const TakeRecordArgs& args, const RecordingHead& head, const fs::path& part,
            const std::vector<RecordedMessage>& messages) {
  const Result<Bytes> bytes = write_midi(midi_of(head, messages), args.output);
  const Result<Done> written =
      bytes ? write_file(args.output, *bytes) : Result<Done>(bytes.diagnostics());
  if (!written) {
    report(written.diagnostics());
    report({warning({.file = part.string()}, "holds what was recorded", "keep it")});
    return false;
  }
  std::error_code ignored;
  fs::remove(part, ignored);
  return true;
}

int end_of(const TakeRecordArgs& args, const RecordingHead& head, const fs::path& part,
           const Recorder& recorder, Ending ending) {
  std::vector<RecordedMessage> messages = recorder.messages();
  if (ending == Ending::kSign) messages = without_stop_sign(std::move(messages));
  const auto notes = std::ranges::count_if(messages, &RecordedMessage::is_note_on);
  if (ending == Ending::kDiskFull) {
    report({warning({.file = part.string()}, "holds what was recorded until then", "keep it")});
    return kInputAtFault;
  }
  if (notes == 0) {
    std::error_code ignored;
    fs::remove(part, ignored);
    report(fail({.file = args.output}, "was not written: no note was played",
                "'arsis ports' lists the ports; is it the right one?"));
    return ending == Ending::kPortGone ? kDeviceMissing : kInputAtFault;
  }
  if (!finish(args, head, part, messages)) return kInputAtFault;
  const int seconds = static_cast<int>(messages.back().at.value - messages.front().at.value + 0.5);
  fmt::print("wrote {} ({}:{:02}, {} notes)\n", printable(args.output, 4096), seconds / 60,
             seconds % 60, notes);
  if (ending == Ending::kFull) {
    report({warning({.file = args.output}, fmt::format("ends with {} notes", Take::kMostNotes),
                    "no more of a take are read; record the rest anew")});
  }
  if (ending == Ending::kPortGone) {
    report(fail({}, fmt::format("the MIDI port '{}' has vanished", printable(recorder.port())),
                "what was played until then is in the file"));
    return kDeviceMissing;
  }
  return kDone;
}

int record(const TakeRecordArgs& args, const Prepared& prepared) {
  const Loaded& loaded = prepared.loaded;
  const fs::path part = args.output + kPartEnding;
  Result<MidiInput> input = MidiInput::open(args.port);
  report(input.diagnostics());
  if (!input) return kDeviceMissing;
  const RecordingHead head = head_of(loaded);
  Result<GrowingRecording> file = GrowingRecording::begin(part, head);
  report(file.diagnostics());
  if (!file) return kInputAtFault;
  Recorder recorder(*std::move(input), *std::move(file), Clock::now());
  std::optional<LivePlayback> click;
  if (prepared.passage.excerpt.click || prepared.passage.excerpt.count_in > 0) {
    const Passage passage = click_of(loaded, prepared.passage);
    const Layers layers = even_time();
    const Instrument law;  // both outlive the session, which only refers to them
    const PlaySession session(loaded, passage, layers, law);
    Result<LivePlayback> playing = start_playing(session.rendition(), session.settings(false),
                                                 args.click, args.sound, args.plan);
    report(playing.diagnostics());
    if (!playing) {
      std::error_code ignored;
      fs::remove(part, ignored);
      return kDeviceMissing;
    }
    click.emplace(*std::move(playing));
  }
  const Ending ending = attend(recorder, click);
  if (click) click->stop();
  return end_of(args, head, part, recorder, ending);
}

// What must not be lost, and what cannot be written, is said before anybody plays.
Diagnostics output_errors(const TakeRecordArgs& args, const Loaded& loaded) {
  std::error_code ignored;
  const std::string ending = lower_case(fs::path(args.output).extension().string());
  if (ending != ".mid" && ending != ".midi") {
    return fail({}, fmt::format("the ending of '{}' names no format", printable(args.output)),
                "use .mid");
  }
  const std::string part = args.output + kPartEnding;
  if (fs::exists(part, ignored)) {
    return fail({.file = part}, "is a recording that was cut off",
                "'arsis take compare' reads it; move it away, or name another file");
  }
  for (const fs::path& input : {fs::path(args.plan), fs::path(loaded.score.file)}) {
    if (same_file(args.output, input)) {
      return fail({.file = args.output}, "is what is to be played", "name another file to write");
    }
  }
  if (!args.force && fs::exists(args.output, ignored)) {
    return fail({.file = args.output}, "is there already",
                "name another file, or replace it with --force");
  }
  return {};
}

}  // namespace

int run_take_record(const TakeRecordArgs& args) {
  Diagnostics usage = device_usage(args.click, args.sound, {.levels = "law"}, "--click-port");
  if (trimmed(args.port).empty()) {
    usage.push_back(
        error({}, "--port names no port", "write a part of a name that 'arsis ports' lists"));
  }
  if (!usage.empty()) return report(usage), kUsageAtFault;
  int code = kDone;
  const auto prepared = prepare(args.plan, args.passage, {.levels = "law"}, "", code);
  if (!prepared) return code;
  if (const Diagnostics errors = output_errors(args, prepared->loaded); !errors.empty()) {
    return report(errors), kUsageAtFault;
  }
  const StopSignals signals;
  code = record(args, *prepared);
  // Ctrl-C is a way to end it like any other.
  if (StopSignals::caught() != 0 && StopSignals::caught() != SIGINT) StopSignals::obey();
  return code;
}

void add_take_record(CLI::App& take, std::function<int()>& run) {
  const auto args = std::make_shared<TakeRecordArgs>();
  CLI::App* command = take.add_subcommand("record", "Record what you play on a MIDI port");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  command->add_option("-o,--output", args->output, "the take to write, .mid")->required();
  command
      ->add_option("--port", args->port,
                   "record from this MIDI port; 'arsis ports' lists them, a part of the name does")
      ->required();
  command->add_flag("--force", args->force, "replace a take that is there");
  command->add_option("--count-in", args->passage.count_in, "bars to click before, 0 to 8")
      ->capture_default_str();
  command->add_flag("--click", args->passage.click, "click on every beat, in even time");
  command
      ->add_option("--tempo", args->passage.tempo,
                   "of the clicks: a share of the score's tempo, or as in '72 bpm'")
      ->capture_default_str();
  command->add_option("--from", args->passage.from, "where the clicks begin, as in 9:1");
  command->add_option("--soundfont", args->sound.soundfont, "an SF2 or SF3 file for the clicks");
  add_device_options(*command, args->click, "--click-port");
  command->footer(
      "q, Ctrl-C, or the two lowest keys of the piano (A and B flat) held together for a second "
      "end it.");
  command->callback([&run, args] { run = [args] { return run_take_record(*args); }; });
}

}  // namespace arsis
