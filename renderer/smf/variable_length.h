// Variable-length quantities: seven bits a byte, the last one with its top bit clear.
// Source: Standard MIDI Files 1.0, "Variable length quantities".
#pragma once

#include <cstdint>
#include <span>

#include "base/files.h"

namespace arsis {

inline constexpr std::uint32_t kMostVariableLength = 0x0FFFFFFF;  // four bytes

// Appends the quantity, which is at most kMostVariableLength.
inline void put_variable_length(Bytes& out, std::uint32_t quantity) {
  for (int shift = 21; shift > 0; shift -= 7) {
    if (quantity >> shift != 0) {
      out.push_back(static_cast<std::uint8_t>(0x80u | (quantity >> shift & 0x7Fu)));
    }
  }
  out.push_back(static_cast<std::uint8_t>(quantity & 0x7Fu));
}

// An event (MidiEvent) with its length field where its kind has one.
inline void put_event(Bytes& out, std::span<const std::uint8_t> event) {
  const std::size_t head = event[0] == 0xFF ? 2 : event[0] >= 0xF0 ? 1 : event.size();
  out.insert(out.end(), event.begin(), event.begin() + static_cast<std::ptrdiff_t>(head));
  if (event[0] < 0xF0) return;
  put_variable_length(out, static_cast<std::uint32_t>(event.size() - head));
  out.insert(out.end(), event.begin() + static_cast<std::ptrdiff_t>(head), event.end());
}

}  // namespace arsis
