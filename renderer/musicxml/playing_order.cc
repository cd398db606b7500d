#include "musicxml/playing_order.h"

#include <algorithm>
#include <optional>

namespace arsis {
namespace {

class Walk {
 public:
  explicit Walk(std::span<const MeasureSigns> measures)
      : measures_(measures), played_(measures.size()), jumped_from_(measures.size()) {}

  std::vector<PlayedMeasure> all() {
    std::size_t at = 0;
    while (at < measures_.size() && order_.size() < kMostPlayedMeasures) {
      const MeasureSigns& signs = measures_[at];
      enter(at);
      if (is_skipped(signs)) {
        ++at;
        continue;
      }
      order_.push_back({at, ++played_[at]});
      const std::optional<std::size_t> next = after(at);
      if (!next) break;
      at = *next;
    }
    return std::move(order_);
  }

 private:
  // Sections begin at an opening sign, and behind the endings of the one before.
  void enter(std::size_t at) {
    const MeasureSigns& signs = measures_[at];
    const bool leaves_endings = in_endings_ && signs.endings.empty();
    if ((signs.begins_repeat && at != section_) || leaves_endings) {
      section_ = at;
      pass_ = 1;
    }
    in_endings_ = !signs.endings.empty();
  }

  // The highest number over the endings of the section that `at` belongs to.
  int last_ending(std::size_t at) const {
    int last = 0;
    std::size_t first = at;
    while (first > 0 && !measures_[first - 1].endings.empty()) --first;
    for (std::size_t i = first; i < measures_.size() && !measures_[i].endings.empty(); ++i) {
      last = std::max(last, std::ranges::max(measures_[i].endings));
    }
    return last;
  }

  bool is_skipped(const MeasureSigns& signs) const {
    if (signs.endings.empty()) return false;
    const auto at = static_cast<std::size_t>(&signs - measures_.data());
    const int wanted = jumped_ ? last_ending(at) : pass_;
    return std::ranges::find(signs.endings, wanted) == signs.endings.end();
  }

  // The measure that follows; none at the end.
  std::optional<std::size_t> after(std::size_t at) {
    const MeasureSigns& signs = measures_[at];
    if (jumped_) {
      if (signs.fine) return std::nullopt;
      if (signs.to_coda) {
        const auto coda = std::find_if(measures_.begin(), measures_.end(),
                                       [](const MeasureSigns& each) { return each.coda; });
        if (coda != measures_.end() && !at_coda_) {
          at_coda_ = true;
          return static_cast<std::size_t>(coda - measures_.begin());
        }
      }
      if (const auto back = jump(at)) return back;
      return at + 1;
    }
    if (signs.ends_repeat > 0) {
      const int times =
          signs.endings.empty() ? signs.ends_repeat : std::max(last_ending(at), signs.ends_repeat);
      if (pass_ < times) {
        ++pass_;
        in_endings_ = false;
        return section_;
      }
      section_ = at + 1;
      pass_ = 1;
      in_endings_ = false;
    }
    if (const auto back = jump(at)) return back;
    return at + 1;
  }

  std::optional<std::size_t> jump(std::size_t at) {
    const MeasureSigns& signs = measures_[at];
    if ((!signs.da_capo && !signs.dal_segno) || jumped_from_[at]) return std::nullopt;
    std::size_t target = 0;
    if (signs.dal_segno) {
      const auto segno = std::find_if(measures_.begin(), measures_.end(),
                                      [](const MeasureSigns& each) { return each.segno; });
      if (segno == measures_.end()) return std::nullopt;
      target = static_cast<std::size_t>(segno - measures_.begin());
    }
    jumped_from_[at] = true;
    jumped_ = true;
    in_endings_ = false;
    return target;
  }

  std::span<const MeasureSigns> measures_;
  std::vector<PlayedMeasure> order_;
  std::vector<int> played_;
  std::vector<bool> jumped_from_;
  std::size_t section_ = 0;  // where a closing sign goes back to
  int pass_ = 1;             // through the section
  bool in_endings_ = false;
  bool jumped_ = false;
  bool at_coda_ = false;
};

}  // namespace

std::vector<PlayedMeasure> playing_order(std::span<const MeasureSigns> measures) {
  return Walk(measures).all();
}

}  // namespace arsis
