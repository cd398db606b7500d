// The ways through a score that a follower weighs against each other, and the steps that each has
// taken.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "take/following.h"
#include "take/moments.h"

namespace arsis {

// Where the player may be, and what it costs to believe so.
struct Way {
  static constexpr std::uint32_t kNowhere = 0xFFFFFFFF;
  static constexpr std::size_t kOpen = 3;  // moments whose notes are still awaited

  double cost = 0.0;
  std::uint32_t moment = kNowhere;
  std::uint32_t last_step = kNowhere;    // kept by Ways
  std::array<KeySet, kOpen> unplayed{};  // of the present moment and those before it
  Seconds entered;                       // the first note of the present moment
  Seconds clock;                         // where the way's tempo has the present moment
  double tempo = 1.0;                    // ratio: played seconds a written second
  int beats_kept = 0;                    // how often the tempo has been measured
  bool fresh = false;                    // it has just jumped: no notes are awaited from before

  bool is_nowhere() const { return moment == kNowhere; }
  // Goes on by `written` seconds of the score to a note at `onset`; tempo and clock follow. Result:
  // how late it is, as a ratio to what is usual; below 0: early.
  double keep_time(Seconds written, Seconds onset);
};

// The ways that are still open, the cheapest for each moment.
class Ways {
 public:
  explicit Ways(std::size_t moments);

  // The open ways; none is open afterwards.
  std::vector<Way> take();
  void offer(const Way& way);
  // Whether a way of that cost would be taken.
  bool is_better(double cost, std::uint32_t moment) const;
  // The same, with one more step.
  void offer(Way way, Step step);
  // Gives up ways that cost over `beam` more than the cheapest, and the dearest beyond `most`.
  void prune(double beam, std::size_t most);
  // The steps of the cheapest, where each moment between its last and the score's costs `left`, all
  // together at most `most`.
  std::vector<Step> best_path(double left, double most) const;

 private:
  struct Node {
    std::uint32_t before;
    Step step;
  };
  void put(const Way& way);
  void collect();

  std::vector<Way> open_;
  std::vector<std::uint32_t> place_;  // of each moment's way in open_, the last for nowhere
  std::vector<Node> nodes_;           // a tree of steps, shared by the ways
  std::size_t collect_at_;
};

}  // namespace arsis
