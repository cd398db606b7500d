#include "tool/stop_signals.h"

#include <cstdio>

#include "base/files.h"
#include "tool/terminal.h"

namespace arsis {
namespace {

volatile std::sig_atomic_t g_caught = 0;

extern "C" void remember(int signal) {
  if (g_caught != 0) {  // who asks twice does not want to wait for a device
    remove_files_aside();
    restore_terminal();
    std::signal(signal, SIG_DFL);
    std::raise(signal);
  }
  g_caught = signal;
}

}  // namespace

StopSignals::StopSignals() {
  g_caught = 0;
  for (std::size_t i = 0; i < kSignals.size(); ++i) {
    before_[i] = std::signal(kSignals[i], remember);
    if (before_[i] == SIG_IGN && kSignals[i] == SIGHUP) std::signal(SIGHUP, SIG_IGN);  // nohup
  }
}

StopSignals::~StopSignals() {
  for (std::size_t i = 0; i < kSignals.size(); ++i) std::signal(kSignals[i], before_[i]);
}

int StopSignals::caught() { return g_caught; }

void StopSignals::obey() {
  if (g_caught == 0) return;
  std::fflush(stdout);  // the signal will not
  std::signal(g_caught, SIG_DFL);
  std::raise(g_caught);
}

}  // namespace arsis
