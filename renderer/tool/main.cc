// arsis: one verb a job. Parses the command line and hands over.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <exception>
#include <functional>

#include "tool/check.h"
#include "tool/exit_code.h"
#include "tool/render.h"

namespace {

constexpr const char* kAbout =
    "Arsis turns a phrase plan and a quantized MIDI file into expressive playback.";
constexpr const char* kCodes =
    "Exit codes: 0 done; 1 the input is at fault; 2 the command line is; 3 a device or a SoundFont "
    "is missing.";

}  // namespace

int main(int argc, char** argv) {
  try {
    CLI::App app(kAbout, "arsis");
    app.footer(kCodes);
    app.set_version_flag("--version", ARSIS_VERSION);
    app.require_subcommand(1);
    std::function<int()> run;
    arsis::add_check(app, run);
    arsis::add_render(app, run);
    try {
      app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      return app.exit(error) == 0 ? arsis::kDone : arsis::kUsageAtFault;
    }
    return run();
  } catch (const std::exception& failure) {
    fmt::print(stderr, "arsis: stopped: {}\n", failure.what());
    return arsis::kInputAtFault;
  }
}
