// Several works at a time on several threads, and their progress as one. Inside of sound/ only.
#pragma once

#include <algorithm>
#include <atomic>
#include <cstddef>
#include <functional>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

#include "sound/progress_steps.h"

namespace arsis {

// Hands the numbers 0 to count - 1 to `work`, on several threads at a time, each number once. Fewer
// threads where the system gives no more.
//   threads  0: as many as cores
template <class Work>
void several_at_a_time(std::size_t count, int threads, const Work& work) {
  std::atomic<std::size_t> next = 0;
  const auto take_turns = [&] {
    for (std::size_t i = next++; i < count; i = next++) work(i);
  };
  const std::size_t wanted =
      threads > 0 ? static_cast<std::size_t>(threads) : std::thread::hardware_concurrency();
  std::vector<std::jthread> helpers;
  try {
    while (helpers.size() + 1 < std::min(wanted, count)) helpers.emplace_back(take_turns);
  } catch (const std::system_error&) {
  }
  take_turns();
}

// The progress of several works at a time as one.
class SharedProgress {
 public:
  // `progress` takes the share done, 0 to 1; it may be empty, and must outlive this.
  SharedProgress(std::size_t works, const std::function<void(double)>& progress)
      : done_(works, 0.0), steps_(progress) {}

  void reach(std::size_t work, double done) {
    const std::lock_guard lock(mutex_);
    done_[work] = done;
    double sum = 0.0;
    for (const double each : done_) sum += each;
    steps_.reach(sum / static_cast<double>(done_.size()));
  }

 private:
  std::mutex mutex_;
  std::vector<double> done_;
  ProgressSteps steps_;
};

}  // namespace arsis
