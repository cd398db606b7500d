// The sum of a set, and an answer hidden by it.
#include <fmt/format.h>

#include <array>
#include <bit>
#include <span>

#include "base/check_sum.h"
#include "page/lesson_page.h"

namespace arsis {
namespace {

// Texts and lists count with their lengths, so that none can be taken for another by moving the
// border between two.
class Sum {
 public:
  void add(std::span<const std::uint8_t> bytes) {
    add(std::uint64_t{bytes.size()});
    value_ = check_sum(bytes, value_);
  }
  void add(std::string_view text) {
    add(std::uint64_t{text.size()});
    value_ = check_sum(text, value_);
  }
  void add(std::uint64_t number) {
    std::array<std::uint8_t, 8> bytes{};
    for (std::uint8_t& byte : bytes) {
      byte = static_cast<std::uint8_t>(number);
      number >>= 8;
    }
    value_ = check_sum(bytes, value_);
  }
  void add(double number) { add(std::bit_cast<std::uint64_t>(number)); }
  std::uint64_t value() const { return value_; }

 private:
  std::uint64_t value_ = kNoBytesSum;
};

}  // namespace

std::string lesson_sum(const LessonPage& page) {
  Sum sum;
  sum.add(page.title);
  sum.add(page.subtitle);
  sum.add(std::uint64_t{page.items.size()});
  for (const LessonItem& item : page.items) {
    sum.add(item.ask);
    sum.add(item.place);
    sum.add(item.begin.value);
    sum.add(std::uint64_t{item.answer});
    sum.add(item.amount);
    sum.add(std::uint64_t{item.choices.size()});
    for (const LessonChoice& choice : item.choices) {
      sum.add(choice.label);
      sum.add(choice.opus);
    }
  }
  return fmt::format("{:016x}", sum.value());
}

std::size_t hidden_answer(std::string_view sum, std::size_t item, std::size_t answer,
                          std::size_t choices) {
  std::uint32_t hash = 0x811c9dc5U;
  for (const char letter : fmt::format("{}:{}", sum, item)) {
    hash = (hash ^ static_cast<std::uint8_t>(letter)) * 0x01000193U;
  }
  return (answer + (hash >> 16)) % choices;
}

}  // namespace arsis
