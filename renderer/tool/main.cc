// arsis: one verb a job. Parses the command line and hands over.
#include <CLI/CLI.hpp>
#include <csignal>
#include <cstdio>
#include <exception>
#include <functional>
#include <string>

#include "base/files.h"
#include "tool/audition.h"
#include "tool/check.h"
#include "tool/draft_command.h"
#include "tool/exit_code.h"
#include "tool/lesson.h"
#include "tool/levels.h"
#include "tool/page_command.h"
#include "tool/play.h"
#include "tool/ports.h"
#include "tool/render.h"
#include "tool/report.h"
#include "tool/take.h"

namespace {

constexpr const char* kAbout =
    "Arsis turns a phrase plan and a quantized score into expressive playback.";
constexpr const char* kCodes =
    "Exit codes: 0 done; 1 the input is at fault; 2 the command line is; 3 a device or a SoundFont "
    "is missing.";

// What Ctrl-C and its kin leave behind: nothing.
extern "C" void stop_cleanly(int signal) {
  arsis::remove_files_aside();
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

// What was printed must have arrived, or the caller would take half an answer for a whole one.
int finished(int code) {
  if (std::fflush(stdout) == 0 && std::ferror(stdout) == 0) return code;
  arsis::report("arsis: what it printed could not be written; check where it goes");
  return code == arsis::kDone ? arsis::kInputAtFault : code;
}

}  // namespace

int main(int argc, char** argv) {
  // A file that may not grow is then an error of writing, as a full disk is.
  std::signal(SIGXFSZ, SIG_IGN);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGPIPE}) {
    // Who has it go on without a terminal (nohup) or a reader means so.
    const bool may_stay = signal == SIGHUP || signal == SIGPIPE;
    const bool ignored = std::signal(signal, stop_cleanly) == SIG_IGN && may_stay;
    if (ignored) std::signal(signal, SIG_IGN);
  }
  try {
    CLI::App app(kAbout, "arsis");
    app.footer(kCodes);
    app.set_version_flag("--version", ARSIS_VERSION);
    app.require_subcommand(1);
    std::function<int()> run;
    arsis::add_check(app, run);
    arsis::add_draft(app, run);
    arsis::add_render(app, run);
    arsis::add_play(app, run);
    arsis::add_audition(app, run);
    arsis::add_page(app, run);
    arsis::add_ports(app, run);
    arsis::add_levels(app, run);
    arsis::add_lesson(app, run);
    arsis::add_take(app, run);
    try {
      app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      return app.exit(error) == 0 ? arsis::kDone : arsis::kUsageAtFault;
    }
    return finished(run());
  } catch (const std::exception& failure) {
    arsis::report(std::string("arsis: stopped: ") + failure.what());
    return arsis::kInputAtFault;
  }
}
