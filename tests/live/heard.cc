#include "live/heard.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace arsis::test {

std::map<std::pair<int, int>, int> sounding(const std::vector<Heard>& heard) {
  std::map<std::pair<int, int>, int> notes;
  for (const Heard& each : heard) {
    if (!each.is_on() && !each.is_off()) continue;
    const std::pair key(each.channel(), each.bytes[1]);
    notes[key] += each.is_on() ? 1 : -1;
    if (notes[key] == 0) notes.erase(key);
  }
  return notes;
}

void expect_silenced(const std::vector<Heard>& heard) {
  for (const auto& [key, count] : sounding(heard)) {
    ADD_FAILURE() << "channel " << key.first << " key " << key.second << " is left at " << count;
  }
  std::set<std::vector<std::uint8_t>> last;
  for (auto it = heard.rbegin(); it != heard.rend() && it->is_silence(); ++it) {
    last.insert(it->bytes);
  }
  EXPECT_EQ(last.size(), 16u * 3u);
}

std::vector<Heard> notes_on(const std::vector<Heard>& heard, int channel) {
  std::vector<Heard> notes;
  std::ranges::copy_if(heard, std::back_inserter(notes), [&](const Heard& each) {
    return each.is_on() && each.channel() == channel;
  });
  return notes;
}

double median_off(std::vector<double> late) {
  const auto median = [&late] {
    const auto middle = late.begin() + static_cast<std::ptrdiff_t>(late.size() / 2);
    std::ranges::nth_element(late, middle);
    return *middle;
  };
  const double usual = median();
  for (double& each : late) each = std::abs(each - usual);
  return median();
}

}  // namespace arsis::test
