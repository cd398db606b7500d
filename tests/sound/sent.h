// What a player sends, written down.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

#include "message_builder.h"
#include "sound/player.h"

namespace arsis::test {

struct Sent {
  std::vector<std::vector<std::uint8_t>> messages = {};
  std::vector<Seconds> late = {};

  Player::Send into() {
    return [this](std::span<const std::uint8_t> message, Seconds by) {
      messages.emplace_back(message.begin(), message.end());
      late.push_back(by);
    };
  }
  // Each as "90 3C 40", one after the other, and forgets them.
  std::string take() {
    std::string text;
    for (const auto& message : messages) text += (text.empty() ? "" : "; ") + hex_text(message);
    *this = {};
    return text;
  }
  // The same without what silences and resets the channels.
  std::string take_music() {
    std::erase_if(messages, [](const auto& message) {
      const bool control = (message[0] & 0xF0) == 0xB0 && message[2] == 0;
      return control &&
             (message[1] == 64 || message[1] == 66 || message[1] == 121 || message[1] == 123);
    });
    return take();
  }
};

}  // namespace arsis::test
