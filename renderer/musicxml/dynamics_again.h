// What holds again where the music goes back: with a repeat or a jump a player also goes back to
// the dynamics that were in force where the passage began, as it was played at first.
#pragma once

#include <cstddef>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "musicxml/page.h"
#include "musicxml/playing_order.h"

namespace arsis {

class DynamicsAgain {
 public:
  struct Sign {
    std::size_t page_part = 0;
    const PageSign* sign = nullptr;
  };

  explicit DynamicsAgain(std::span<const PlayedMeasure> order);

  // A measure that is about to be played, with its number in the order. Returns the marks that
  // stand elsewhere on the page and hold again from its beginning: none where it is not gone back
  // to, where nothing else has come since, where it has a mark of its own at its beginning, or
  // where a hairpin without a mark at its end was the last before it. Common practice, no source.
  std::vector<Sign> enter(const PageMeasure& measure, std::size_t order);

  // A sign that is played at `at`, those that hold again among them.
  void play(std::size_t page_part, const PageSign& sign, Ticks at);

 private:
  // The marks of one staff (0: of the whole instrument) that came last, all of one moment, one for
  // each staff that they stand at; none after a hairpin, whose end is not known here.
  struct Last {
    Ticks at = -1;
    bool is_hairpin = false;
    std::vector<const PageSign*> marks;
    bool operator==(const Last& other) const { return marks == other.marks; }
  };
  using OfStaves = std::map<int, Last>;

  std::vector<PlayedMeasure> order_;
  std::vector<bool> is_gone_back_to_;                            // for each measure
  std::map<std::size_t, OfStaves> now_;                          // by part
  std::map<std::size_t, std::map<std::size_t, OfStaves>> then_;  // as first entered, by measure
};

}  // namespace arsis
