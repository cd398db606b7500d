// Sound as it is made: a device of the system (FluidSynth's drivers), or a file written at the pace
// of a device.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

// The drivers that can be named: those that were built in, and "file". [main thread]
std::vector<std::string> audio_drivers();

struct AudioOutputRequest {
  std::string driver;          // empty: the first that works
  std::string device;          // of that driver; empty: its default
  int sample_rate = 48'000;    // wanted; the device has the last word
  std::filesystem::path file;  // for the driver "file": what it writes
};

class AudioOutput {
 public:
  // Fills a buffer, left and right in turn. [the device's thread]
  using Fill = std::function<void(std::span<float> interleaved)>;

  // Silent until start(). Errors: no driver has a device; the file cannot be written.
  static Result<AudioOutput> open(const AudioOutputRequest& request);
  AudioOutput(AudioOutput&&) noexcept;
  AudioOutput& operator=(AudioOutput&&) noexcept;
  // Closes the device. A file is finished then.
  ~AudioOutput();

  const std::string& driver() const;
  int sample_rate() const;
  // `fill` must outlive the output or its stop(). Once.
  void start(Fill fill);
  // After it `fill` is not called any more.
  void stop();
  // Frames the device has asked for so far: they stand still when it has vanished.
  std::uint64_t frames() const;

 private:
  struct Handle;
  explicit AudioOutput(std::unique_ptr<Handle> handle);
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
