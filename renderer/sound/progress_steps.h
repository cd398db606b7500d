// Progress told in steps, so that a caller that prints is not called for every slice of sound.
#pragma once

#include <functional>

namespace arsis {

class ProgressSteps {
 public:
  // `call` takes the share done, 0 to 1; it may be empty, and must outlive this.
  explicit ProgressSteps(const std::function<void(double)>& call) : call_(call) {}

  // Calls back when half a percent more is done, and at the end. `done` may only rise.
  void reach(double done) {
    if (!call_ || (done < next_ && done < 1.0)) return;
    call_(done);
    next_ = done + kStep;
  }

 private:
  static constexpr double kStep = 0.005;
  const std::function<void(double)>& call_;
  double next_ = 0.0;
};

}  // namespace arsis
