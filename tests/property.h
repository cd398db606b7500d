// Properties over random cases (rapidcheck), a fixed number of them from a fixed seed, as a
// GoogleTest assertion: EXPECT_TRUE(holds(10'000, [] { ... RC_ASSERT(...); })).
#pragma once

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <sstream>
#include <utility>

namespace arsis::test {

// The sanitizers slow each case down about tenfold: they get a tenth of the cases, dev gets all.
#if defined(__SANITIZE_ADDRESS__)
inline constexpr int kShare = 10;
#else
inline constexpr int kShare = 1;
#endif

template <class Property>
::testing::AssertionResult holds(int cases, Property&& property) {
  rc::detail::TestParams params;
  params.seed = 20'261'125;  // any; fixed, so that a failure comes again
  params.maxSuccess = cases / kShare;
  params.maxSize = 100;
  params.maxDiscardRatio = 10;
  const rc::detail::TestResult result = rc::detail::checkTestable(
      std::forward<Property>(property), rc::detail::TestMetadata(), params);
  if (result.template is<rc::detail::SuccessResult>()) return ::testing::AssertionSuccess();
  std::ostringstream text;
  rc::detail::printResultMessage(result, text);
  return ::testing::AssertionFailure() << text.str();
}

}  // namespace arsis::test
