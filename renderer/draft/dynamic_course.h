// The written dynamics of a part as one course of steps over time, to be averaged over any stretch.
#pragma once

#include <vector>

#include "plan/binding.h"

namespace arsis {

class DynamicCourse {
 public:
  explicit DynamicCourse(DynamicLine line);

  // Whether any dynamic is written.
  bool written() const { return !line_.empty(); }
  // Steps from mf, as dynamic_step() counts; mf before the first dynamic.
  double step_at(Beats at) const;
  // The mean step over the stretch; of an empty stretch the step there.
  double mean_step(Span span) const;

  // Hairpins one way that overlap a stretch.
  struct Hairpins {
    double share = 0.0;        // of the stretch that they cover, 0..1
    bool from_before = false;  // one of them begins before the stretch
    bool to_after = false;     // one of them ends after it
  };
  Hairpins hairpins(Span span, bool falling) const;

 private:
  std::size_t index_at(Beats at) const;
  double integral_to(Beats at) const;

  DynamicLine line_;
  std::vector<double> integrals_;  // steps times beats from the first dynamic to each
};

}  // namespace arsis
