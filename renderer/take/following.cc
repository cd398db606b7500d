#include "take/following.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "take/ways.h"

namespace arsis {
namespace {

// What a way pays, in a unit of its own: about the negative logarithm of how likely it is.
constexpr double kExtra = 2.5;       // a played note that the way has no place for
constexpr double kLeftOut = 1.0;     // a written note that it passed by
constexpr double kLate = 0.3;        // a note of a moment before the present one
constexpr double kMostLate = 2.4;    // however long after it was expected: less than an extra note
constexpr double kMostEarly = 5.0;   // however long before: players wait, but do not leap ahead
constexpr double kMostSpread = 3.0;  // however long after the first note of its chord
constexpr double kJump = 10.0;       // back; as much as four wrong notes
constexpr double kAhead = 1.5;       // more for a jump ahead: passages are rather played again
constexpr double kMostFar = 2.0;     // more for a jump far away: of equal places the nearest
constexpr double kFarStep = 0.02;    // for each moment
constexpr double kMostStart = 3.0;   // to begin or to end elsewhere than the score
constexpr double kStartStep = 0.5;   // for each moment between
constexpr double kBeam = kJump + 9.0;  // ways this much dearer than the best are given up
constexpr std::size_t kMostWays = 384;
constexpr std::uint32_t kReach = 8;  // moments that may be passed by without a jump
// How far a jump may go, in moments: about three hundred bars of piano music.
constexpr std::uint32_t kJumpReach = 2048;

// Where a jump lands, of the next notes most are found close by.
constexpr std::size_t kLookAhead = 4;
constexpr std::size_t kLookAheadFound = 3;
constexpr std::uint32_t kLookAheadMoments = 5;

class Follower {
 public:
  Follower(const Moments& moments, std::span<const PlayedNote> played)
      : moments_(moments.all),
        with_key_(moments.with_key),
        played_(played),
        ways_(moments_.size()) {
    for (std::uint32_t i = 0; i < moments_.size(); ++i) {
      near_.push_back(keys_from(i, kLookAheadMoments));
      ahead_.push_back(keys_from(i + 1, kReach));
      sizes_.push_back(moments_[i].keys.size());
    }
  }

  std::vector<Step> run() {
    for (std::size_t i = 0; i < played_.size(); ++i) {
      const std::vector<Way> before = ways_.take();
      const auto best = std::ranges::min_element(before, {}, &Way::cost);
      limit_ = best->cost + kBeam + kExtra;
      for (const Way& way : before) go_on(way, i);
      jump(*best, i);
      const auto nowhere = std::ranges::find_if(before, &Way::is_nowhere);
      if (nowhere != before.end() && nowhere != best) jump(*nowhere, i);
      ways_.prune(kBeam, kMostWays);
    }
    return ways_.best_path(kStartStep, kMostStart);
  }

 private:
  KeySet keys_from(std::size_t moment, std::size_t count) const {
    KeySet keys;
    const std::size_t end = std::min(moments_.size(), moment + count);
    for (std::size_t i = moment; i < end; ++i) keys.add(moments_[i].keys);
    return keys;
  }

  // All ways that go on from this one with the played note.
  void go_on(const Way& way, std::size_t i) {
    Way without = way;
    without.cost += kExtra;
    ways_.offer(without);
    if (way.is_nowhere()) return;
    stay(way, i);
    be_late(way, i);
    advance(way, i);
  }

  // Another note of the present chord.
  void stay(const Way& way, std::size_t i) {
    if (!way.unplayed[0].has(played_[i].key)) return;
    Way next = way;
    next.cost += spread_cost((played_[i].onset - way.entered).value);
    next.unplayed[0].remove(played_[i].key);
    step(next, i, way.moment, false);
  }

  // A note of one of the moments before: the hands are not together, or a chord is spread.
  void be_late(const Way& way, std::size_t i) {
    for (std::uint32_t back = 1; back < way.unplayed.size() && back <= way.moment; ++back) {
      if (!way.unplayed[back].has(played_[i].key)) continue;
      const std::uint32_t moment = way.moment - back;
      const Seconds due =
          way.clock - (moments_[way.moment].written - moments_[moment].written) * way.tempo;
      Way next = way;
      next.cost += kLate - kLeftOut + spread_cost((played_[i].onset - due).value);
      next.unplayed[back].remove(played_[i].key);
      step(next, i, moment, false);
    }
  }

  // The first note of one of the next moments.
  void advance(const Way& way, std::size_t i) {
    if (!ahead_[way.moment].has(played_[i].key)) return;
    double left_out = kLeftOut * way.unplayed[0].size();
    const auto end = static_cast<std::uint32_t>(moments_.size());
    for (std::uint32_t moment = way.moment + 1; moment < std::min(end, way.moment + 1 + kReach);
         ++moment) {
      if (way.cost + left_out > limit_) return;
      if (moments_[moment].keys.has(played_[i].key)) {
        Way next = way;
        next.cost += left_out;
        const double apart = next.keep_time(moments_[moment].written - moments_[way.moment].written,
                                            played_[i].onset);
        next.cost += std::min(apart < 0.0 ? kMostEarly : kMostLate, 0.5 * apart * apart);
        enter(next, moment, i);
        step(next, i, moment, false);
      }
      left_out += kLeftOut * sizes_[moment];
    }
  }

  // The way is at another moment, of which it has played one note.
  void enter(Way& way, std::uint32_t moment, std::size_t i) const {
    const std::uint32_t by = moment - way.moment;  // of no meaning after a jump
    std::array<KeySet, Way::kOpen> unplayed;
    for (std::uint32_t back = 0; back < Way::kOpen; ++back) {
      if (back > 0 && way.fresh) break;
      const bool is_new = back == 0 || back < by;
      unplayed[back] = is_new ? moments_[moment - back].keys : way.unplayed[back - by];
    }
    unplayed[0].remove(played_[i].key);
    way.unplayed = unplayed;
    way.moment = moment;
    way.entered = played_[i].onset;
    way.fresh = false;
  }

  void jump(const Way& from, std::size_t i) {
    const std::vector<std::uint32_t>& places = with_key_[played_[i].key];
    auto begin = places.begin();
    auto end = places.end();
    if (!from.is_nowhere()) {
      begin =
          std::ranges::lower_bound(places, from.moment > kJumpReach ? from.moment - kJumpReach : 0);
      end = std::ranges::upper_bound(places, from.moment + kJumpReach);
    }
    for (auto place = begin; place != end; ++place) {
      const double cost = from.cost + jump_cost(from, *place);
      if (!ways_.is_better(cost, *place) || !goes_on_from(*place, i)) continue;
      Way next = from;
      next.cost = cost;
      next.fresh = true;
      next.clock = played_[i].onset;
      next.beats_kept = from.is_nowhere() ? 0 : 1;
      enter(next, *place, i);
      step(next, i, *place, true);
    }
  }

  static double jump_cost(const Way& from, std::uint32_t moment) {
    if (from.is_nowhere()) return std::min(kMostStart, kStartStep * moment);
    const bool ahead = moment > from.moment;
    const std::uint32_t far = ahead ? moment - from.moment : from.moment - moment;
    return kJump + (ahead ? kAhead : 0.0) + std::min(kMostFar, kFarStep * far);
  }

  bool goes_on_from(std::uint32_t moment, std::size_t i) const {
    const std::size_t end = std::min(played_.size(), i + 1 + kLookAhead);
    std::size_t missed = 0;
    for (std::size_t k = i + 1; k < end; ++k) missed += near_[moment].has(played_[k].key) ? 0 : 1;
    return missed <= kLookAhead - kLookAheadFound;
  }

  void step(Way& way, std::size_t i, std::uint32_t moment, bool jumped) {
    if (way.cost > limit_) return;
    ways_.offer(way, {static_cast<std::uint32_t>(i), moment, jumped});
  }

  static double spread_cost(double seconds) {
    constexpr double kTogether = 0.06;  // common practice, no source
    constexpr double kSpread = 0.1;
    const double apart = std::max(0.0, std::abs(seconds) - kTogether) / kSpread;
    return std::min(kMostSpread, 0.5 * apart * apart);
  }

  std::span<const Moment> moments_;
  const std::array<std::vector<std::uint32_t>, 128>& with_key_;
  std::span<const PlayedNote> played_;
  std::vector<KeySet> near_;   // the keys of the few moments from each on
  std::vector<KeySet> ahead_;  // of those that may come next
  std::vector<int> sizes_;
  Ways ways_;
  double limit_ = std::numeric_limits<double>::infinity();
};

}  // namespace

std::vector<Step> follow(const Moments& moments, std::span<const PlayedNote> played) {
  if (moments.all.empty() || played.empty()) return {};
  return Follower(moments, played).run();
}

}  // namespace arsis
