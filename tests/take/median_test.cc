#include "take/median.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

TEST(MedianOf, IsTheMiddle) {
  EXPECT_EQ(median_of({}), 0.0);
  EXPECT_EQ(median_of({3.0}), 3.0);
  EXPECT_EQ(median_of({9.0, 1.0}), 5.0);
  EXPECT_EQ(median_of({5.0, 1.0, 900.0}), 5.0);
}

}  // namespace
}  // namespace arsis
