// Variable-length quantities: seven bits a byte, the last one with its top bit clear.
// Source: Standard MIDI Files 1.0, "Variable length quantities".
#pragma once

#include <cstdint>

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

}  // namespace arsis
