#include "tool/signals.h"

#include <csignal>
#include <cstdio>

#include "base/files.h"
#include "tool/terminal.h"

namespace arsis {
namespace {

constexpr std::array<int, 4> kSignals = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};

volatile std::sig_atomic_t caught = 0;
extern "C" void remember(int signal) {
  if (caught != 0) {
    remove_files_aside();
    restore_terminal();
    std::signal(signal, SIG_DFL);
    std::raise(signal);
  }
  caught = signal;
}

}  // namespace

Signals::Signals() {
  caught = 0;
  for (std::size_t i = 0; i < kSignals.size(); ++i) {
    before_[i] = std::signal(kSignals[i], remember);
    if (before_[i] == SIG_IGN && kSignals[i] == SIGHUP) std::signal(SIGHUP, SIG_IGN);  // nohup
  }
}

Signals::~Signals() {
  for (std::size_t i = 0; i < kSignals.size(); ++i) std::signal(kSignals[i], before_[i]);
}

int caught_signal() { return caught; }

void end_by_signal() {
  std::fflush(stdout);  // the signal will not
  std::signal(caught, SIG_DFL);
  std::raise(caught);
}

}  // namespace arsis
