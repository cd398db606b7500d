#include "sound/quiet_fluidsynth.h"

#include <fluidsynth.h>

#include <mutex>

namespace arsis {
namespace {

void ignore(int, const char*, void*) {}

}  // namespace

void quiet_fluidsynth() {
  static std::once_flag once;
  std::call_once(once, [] {
    for (const int level : {FLUID_PANIC, FLUID_ERR, FLUID_WARN, FLUID_INFO, FLUID_DBG}) {
      fluid_set_log_function(level, ignore, nullptr);
    }
  });
}

}  // namespace arsis
