// A RIFF chunk put together in memory: a name of four letters, its size, then bytes, low byte
// first, padded to an even number. Source: SoundFont Technical Specification 2.04, section 3.1 (as
// Microsoft's RIFF of 1991).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace arsis {

class RiffChunk {
 public:
  // `form` names what a LIST or a RIFF holds; empty: a plain chunk.
  explicit RiffChunk(std::string_view name, std::string_view form = {})
      : name_(name), body_(form) {}

  RiffChunk& byte(std::uint8_t value) { return body_ += static_cast<char>(value), *this; }
  RiffChunk& word(std::uint16_t value) {
    return byte(static_cast<std::uint8_t>(value & 0xFF))
        .byte(static_cast<std::uint8_t>(value >> 8));
  }
  RiffChunk& dword(std::uint32_t value) {
    return word(static_cast<std::uint16_t>(value & 0xFFFF))
        .word(static_cast<std::uint16_t>(value >> 16));
  }
  RiffChunk& bytes(std::string_view text) { return body_ += text, *this; }
  // Exactly `length` bytes, cut or filled with zeros; the last one is always a zero.
  RiffChunk& name_field(std::string_view text, std::size_t length) {
    std::string field(text.substr(0, length - 1));
    field.resize(length);
    return bytes(field);
  }
  // A text with the one or two zeros that end it on an even length.
  RiffChunk& zero_ended(std::string_view text) {
    bytes(text).byte(0);
    return body_.size() % 2 == 0 ? *this : byte(0);
  }
  RiffChunk& chunk(const RiffChunk& inner) { return bytes(inner.written()); }

  const std::string& body() const { return body_; }
  std::string written() const {
    RiffChunk head("");
    head.bytes(name_).dword(static_cast<std::uint32_t>(body_.size()));
    return head.body_ + body_ + std::string(body_.size() % 2, '\0');
  }

 private:
  std::string name_;
  std::string body_;
};

}  // namespace arsis
