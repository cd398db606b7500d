// What gives the handles of the C libraries back, for std::unique_ptr.
#pragma once

#include <fluidsynth.h>
#include <sndfile.h>

namespace arsis {

struct SettingsDeleter {
  void operator()(fluid_settings_t* settings) const { delete_fluid_settings(settings); }
};

struct SoundFileCloser {
  void operator()(SNDFILE* file) const { sf_close(file); }
};

}  // namespace arsis
