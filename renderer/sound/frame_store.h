// Frames kept until their peak is known: in memory while they are few, in a temporary file beyond.
#pragma once

#include <cstdio>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

class FrameStore {
 public:
  // Error: no room in memory nor for a temporary file.
  Result<Done> add(std::span<const float> samples);
  // Hands all samples over in order, some thousands at a time, until `take` fails.
  Result<Done> each(const std::function<Result<Done>(std::span<float>)>& take);
  float peak() const { return peak_; }

 private:
  static constexpr std::size_t kInMemory = 16u << 20;  // samples: 64 MiB
  static constexpr std::size_t kAtATime = 8192;        // samples

  struct FileCloser {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  std::vector<float> memory_;
  std::unique_ptr<std::FILE, FileCloser> file_;  // what does not fit in memory
  float peak_ = 0.0F;
};

}  // namespace arsis
