// The middle of some numbers: what single wrong notes do not move. Pure.
#pragma once

#include <vector>

namespace arsis {

// Standard deviation over median deviation, of the normal distribution.
inline constexpr double kNormalSpread = 1.4826;

// The middle of the values (the mean of the two middle ones); 0 of none.
double median_of(std::vector<double> values);

}  // namespace arsis
