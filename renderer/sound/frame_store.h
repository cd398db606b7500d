// Frames kept until their peak is known: in memory while they are few, in a temporary file beyond.
#pragma once

#include <cstdio>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/files.h"

namespace arsis {

class FrameStore {
 public:
  static constexpr std::size_t kInMemory = 16u << 20;  // samples: 64 MiB

  // The temporary file, where one is needed, lies beside `target`: there is room for what is to be
  // written there, which the system's own temporary folder, often kept in memory, may not have.
  //   in_memory  samples kept before that
  explicit FrameStore(std::filesystem::path target, std::size_t in_memory = kInMemory);

  // Error: no room for the temporary file.
  Result<Done> add(std::span<const float> samples);
  // Hands all samples over in order, some thousands at a time, until `take` fails. It may change
  // them, but that is not kept. Errors: of `take`; the temporary file did not keep them.
  Result<Done> each(const std::function<Result<Done>(std::span<float>)>& take);

  std::size_t size() const { return size_; }  // samples
  float peak() const { return peak_; }        // largest magnitude

 private:
  static constexpr std::size_t kAtATime = 8192;  // samples

  struct FileCloser {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  Diagnostics no_room() const;
  Result<Done> open();

  std::filesystem::path target_;
  std::size_t in_memory_;
  std::vector<float> memory_;
  std::optional<FileAside> aside_;
  std::unique_ptr<std::FILE, FileCloser> file_;  // what does not fit in memory
  std::size_t size_ = 0;
  float peak_ = 0.0F;
};

}  // namespace arsis
