#include "sound/frame_store.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>

namespace arsis {

FrameStore::FrameStore(std::filesystem::path target, std::size_t in_memory)
    : target_(std::move(target)), in_memory_(in_memory) {}

Diagnostics FrameStore::no_room() const {
  return fail({.file = target_.string()},
              fmt::format("there is no room beside it for a temporary file ({})",
                          std::strerror(errno != 0 ? errno : EIO)),
              "free some space, or write to another disk");
}

Result<Done> FrameStore::open() {
  Result<FileAside> aside = FileAside::beside(target_);
  if (!aside) return aside.diagnostics();
  aside_.emplace(*std::move(aside));
  file_.reset(std::fopen(aside_->path().c_str(), "w+b"));
  if (file_ == nullptr) return no_room();
  return Done{};
}

Result<Done> FrameStore::add(std::span<const float> samples) {
  for (const float sample : samples) peak_ = std::max(peak_, std::abs(sample));
  size_ += samples.size();
  if (file_ == nullptr && memory_.size() + samples.size() <= in_memory_) {
    memory_.insert(memory_.end(), samples.begin(), samples.end());
    return Done{};
  }
  if (file_ == nullptr) {
    if (const Result<Done> opened = open(); !opened) return opened;
  }
  errno = 0;
  const std::size_t kept = std::fwrite(samples.data(), sizeof(float), samples.size(), file_.get());
  if (kept != samples.size()) return no_room();
  return Done{};
}

Result<Done> FrameStore::each(const std::function<Result<Done>(std::span<float>)>& take) {
  std::vector<float> buffer(kAtATime);
  for (std::size_t at = 0; at < memory_.size(); at += kAtATime) {
    const std::size_t count = std::min(kAtATime, memory_.size() - at);
    std::copy_n(memory_.data() + at, count, buffer.data());
    if (const Result<Done> taken = take({buffer.data(), count}); !taken) return taken;
  }
  if (file_ == nullptr) return Done{};
  errno = 0;
  if (std::fflush(file_.get()) != 0) return no_room();
  std::rewind(file_.get());
  std::size_t left = size_ - memory_.size();
  while (left > 0) {
    const std::size_t count =
        std::fread(buffer.data(), sizeof(float), std::min(left, buffer.size()), file_.get());
    if (count == 0) return no_room();
    if (const Result<Done> taken = take({buffer.data(), count}); !taken) return taken;
    left -= count;
  }
  return Done{};
}

}  // namespace arsis
