#include "sound/frame_store.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace arsis {

Result<Done> FrameStore::add(std::span<const float> samples) {
  for (const float sample : samples) peak_ = std::max(peak_, std::abs(sample));
  if (file_ == nullptr && memory_.size() + samples.size() <= kInMemory) {
    memory_.insert(memory_.end(), samples.begin(), samples.end());
    return Done{};
  }
  if (file_ == nullptr) file_.reset(std::tmpfile());
  if (file_ == nullptr ||
      std::fwrite(samples.data(), sizeof(float), samples.size(), file_.get()) != samples.size()) {
    return fail({}, "there is no room for a temporary file",
                "free some space in the temporary folder");
  }
  return Done{};
}

Result<Done> FrameStore::each(const std::function<Result<Done>(std::span<float>)>& take) {
  for (std::size_t at = 0; at < memory_.size(); at += kAtATime) {
    const std::size_t count = std::min(kAtATime, memory_.size() - at);
    if (const Result<Done> taken = take({memory_.data() + at, count}); !taken) return taken;
  }
  if (file_ == nullptr) return Done{};
  std::rewind(file_.get());
  std::vector<float> buffer(kAtATime);
  while (const std::size_t count =
             std::fread(buffer.data(), sizeof(float), buffer.size(), file_.get())) {
    if (const Result<Done> taken = take({buffer.data(), count}); !taken) return taken;
  }
  return Done{};
}

}  // namespace arsis
