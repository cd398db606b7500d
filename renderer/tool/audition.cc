#include "tool/audition.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <memory>
#include <utility>

#include "base/text.h"
#include "tool/audition_file.h"
#include "tool/audition_live.h"
#include "tool/audition_set.h"
#include "tool/blind.h"
#include "tool/exit_code.h"
#include "tool/render_job.h"
#include "tool/report.h"

namespace arsis {
namespace {

// The words read.
struct AuditionWish {
  Layers layers;
  AudioRequest audio;
};

// Whether the words name something that has readings.
void question_passage(const AuditionArgs& args, Diagnostics& errors) {
  if (!args.against.empty()) return;
  if (!args.passage.motif.empty()) {
    errors.push_back(error({}, "--motif: a motif leads to its last interval in every reading",
                           "name its phrase, with --phrase"));
  }
  if (!args.passage.from.empty() || !args.passage.to.empty()) {
    errors.push_back(error({}, "--from and --to name no block",
                           "write --phrase, --sentence, none of them for the piece, or --against "
                           "another plan"));
  }
}

Result<AuditionWish> wish_of(const AuditionArgs& args) {
  Diagnostics errors;
  const Result<Layers> layers = layers_of(args.layers);
  append(errors, layers.diagnostics());
  const Result<AudioRequest> audio = audio_request_of(args.audio);
  append(errors, audio.diagnostics());
  if (args.output.empty()) {
    // What --reverb may be, the audio request has said.
    append(errors, device_usage(args.where, {args.audio.soundfont, "on"}, args.levels));
    if (audio && (audio->level.needs_meter() || audio->depth)) {
      errors.push_back(error({}, "--loudness, --peak and --bits are those of a file",
                             "leave them out, or write a file with -o"));
    }
  } else {
    append(errors, output_usage(args.output, audio ? std::optional(*audio) : std::nullopt));
    append(errors, level_usage(args.levels));
    if (args.where.port || !args.where.driver.empty() || !args.where.device.empty()) {
      errors.push_back(error({}, "-o writes a file, and --port, --driver and --device play now",
                             "leave out one or the other"));
    }
  }
  question_passage(args, errors);
  append(errors, blind_usage(args));
  if (!errors.empty()) return errors;
  return AuditionWish{*layers, *audio};
}

}  // namespace

int run_audition(const AuditionArgs& args) {
  const Result<AuditionWish> wish = wish_of(args);
  if (!wish) return report(wish.diagnostics()), kUsageAtFault;
  if (args.blind) return run_blind(args, wish->layers);
  int code = kDone;
  const auto audition = audition_of(args, wish->layers, code);
  if (!audition) return code;
  if (!args.output.empty()) return write_audition(*audition, args, wish->audio);
  return play_audition(*audition, args);
}

void add_audition(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<AuditionArgs>();
  CLI::App* command =
      app.add_subcommand("audition", "Compare readings of a passage, one after the other");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  command->add_option("--against", args->against,
                      "compare with this plan of the same score, instead of other mains");
  command->add_option("-o,--output", args->output,
                      "the file to write: .mid, .wav, .flac, .ogg, .opus or .mp3; left out: it is "
                      "played now");
  add_passage_options(*command, args->passage);
  command->add_flag("--lead-in", args->lead_in, "begin a bar earlier");
  command->add_option("--blind", args->blind,
                      "so many pairs in random order: which of the two is the plan's own?");
  command->add_option("--order", args->order,
                      "a whole number, for the same order of a blind test again");
  add_layer_options(*command, args->layers);
  add_level_options(*command, args->levels);
  add_audio_options(*command, args->audio);
  add_device_options(*command, args->where);
  command->callback([&run, args] { run = [args] { return run_audition(*args); }; });
}

}  // namespace arsis
