#include "tool/blind_score.h"

#include <fmt/format.h>

#include "base/binomial.h"

namespace arsis {
namespace {

constexpr double kSignificant = 0.05;  // common practice

}  // namespace

std::string words_of(const BlindScore& score) {
  const std::string at = fmt::format("at --amount {}", score.amount);
  if (score.asked < score.pairs) {
    return fmt::format(
        "left off after {} of {}: {} right, {}; a test that ends early shows nothing", score.asked,
        score.pairs, score.right, at);
  }
  const double chance = at_least_by_chance(score.right, score.asked);
  const bool could_tell = at_least_by_chance(score.asked, score.asked) < kSignificant;
  const char* verdict = chance < kSignificant ? "better than chance"
                        : could_tell          ? "no better than chance may be"
                                              : "too few pairs to tell it from chance";
  return fmt::format("{} of {} right: {} (p = {:.3f}), {}", score.right, score.asked, verdict,
                     chance, at);
}

}  // namespace arsis
