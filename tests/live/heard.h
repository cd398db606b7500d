// What an instrument was sent, and what can be asked of it.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <utility>
#include <vector>

namespace arsis::test {

struct Heard {
  std::chrono::steady_clock::time_point at;
  std::vector<std::uint8_t> bytes;

  bool is_on() const { return (bytes[0] & 0xF0) == 0x90 && bytes[2] > 0; }
  bool is_off() const {
    return (bytes[0] & 0xF0) == 0x80 || ((bytes[0] & 0xF0) == 0x90 && !is_on());
  }
  int channel() const { return bytes[0] & 0x0F; }  // from 0
  // Pedals up or no notes, which stands on every channel at every end.
  bool is_silence() const {
    return (bytes[0] & 0xF0) == 0xB0 && (bytes[1] == 64 || bytes[1] == 66 || bytes[1] == 123) &&
           bytes[2] == 0;
  }
};

// Notes that have begun and not ended, by channel and key, with how often.
std::map<std::pair<int, int>, int> sounding(const std::vector<Heard>& heard);

// Expects silence on all channels at the end of it, and that no note is left on or was ended twice.
void expect_silenced(const std::vector<Heard>& heard);

// Beginnings of notes of a channel, in order.
std::vector<Heard> notes_on(const std::vector<Heard>& heard, int channel);

// Half of these (seconds late) are this near to the usual delay, their median. Not of none.
double median_off(std::vector<double> late);

}  // namespace arsis::test
