// A sum over bytes by which a change in them is noticed. No protection against anyone who means it.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace arsis {

// FNV-1a, 64 bits; of several pieces with the sum of those before as `sum`.
// Source: Fowler, Noll & Vo, offset basis and prime (RFC 9923 section 5, from memory).
constexpr std::uint64_t kNoBytesSum = 0xcbf2'9ce4'8422'2325u;

constexpr std::uint64_t check_sum(std::span<const std::uint8_t> bytes,
                                  std::uint64_t sum = kNoBytesSum) {
  for (const std::uint8_t byte : bytes) sum = (sum ^ byte) * 0x0000'0100'0000'01b3u;
  return sum;
}

constexpr std::uint64_t check_sum(std::string_view text, std::uint64_t sum = kNoBytesSum) {
  for (const char letter : text) {
    sum = (sum ^ static_cast<std::uint8_t>(letter)) * 0x0000'0100'0000'01b3u;
  }
  return sum;
}

}  // namespace arsis
