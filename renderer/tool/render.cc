#include "tool/render.h"

#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "base/files.h"
#include "base/text.h"
#include "smf/midi_file.h"
#include "shape/perform.h"
#include "smf/performance_writer.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

bool is_midi(const fs::path& path) {
  const std::string ending = path.extension().string();
  return ending == ".mid" || ending == ".midi";
}

int write_midi_file(const Loaded& loaded, const Shaped& shaped, TimingForm form,
                    const fs::path& output) {
  const MidiFile file = midi_of(loaded.score, shaped.performance, form);
  const Result<Bytes> bytes = write_midi(file, output.string());
  if (!bytes) return report(bytes.diagnostics()), kInputAtFault;
  const Result<Done> written = write_file(output, *bytes);
  if (!written) return report(written.diagnostics()), kInputAtFault;
  return kDone;
}

}  // namespace

int run_render(const RenderArgs& args) {
  const Result<Layers> layers = layers_of(args.layers);
  if (!layers) return report(layers.diagnostics()), kUsageAtFault;
  const Result<Loaded> loaded = load(args.plan);
  report(loaded.diagnostics());
  if (!loaded) return kInputAtFault;
  const Shaped shaped = perform(loaded->score, loaded->bound, *layers);
  const TimingForm form = args.timing == "ticks" ? TimingForm::kTicks : TimingForm::kTempoMap;
  return write_midi_file(*loaded, shaped, form, args.output);
}

void add_render(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<RenderArgs>();
  CLI::App* command = app.add_subcommand("render", "Write a performance as MIDI or audio");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file")->required();
  command->add_option("-o,--output", args->output, "the file to write")->required();
  add_layer_options(*command, args->layers);
  command->callback([&run, args] { run = [args] { return run_render(*args); }; });
}

}  // namespace arsis
