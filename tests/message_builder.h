// Messages of scores in tests, and the bytes of messages as text.
#pragma once

#include <cstdint>
#include <cstdio>
#include <initializer_list>
#include <span>
#include <string>

#include "score/score.h"

namespace arsis::test {

// Messages are added in the score's order: by time, then track, then sequence.
inline void add_message(Score& score, double at, std::uint16_t track,
                        std::span<const std::uint8_t> bytes) {
  score.messages.push_back({.at = {at},
                            .sequence = static_cast<std::uint32_t>(score.messages.size()),
                            .first = static_cast<std::uint32_t>(score.message_bytes.size()),
                            .size = static_cast<std::uint32_t>(bytes.size()),
                            .track = track});
  score.message_bytes.insert(score.message_bytes.end(), bytes.begin(), bytes.end());
}
inline void add_message(Score& score, double at, std::uint16_t track,
                        std::initializer_list<std::uint8_t> bytes) {
  add_message(score, at, track, std::span(bytes.begin(), bytes.size()));
}

// "B0 07 5A"
inline std::string hex_text(std::span<const std::uint8_t> bytes) {
  std::string text;
  for (const std::uint8_t byte : bytes) {
    char buffer[4];
    std::snprintf(buffer, sizeof buffer, "%02X", byte);
    text += (text.empty() ? "" : " ") + std::string(buffer);
  }
  return text;
}

}  // namespace arsis::test
