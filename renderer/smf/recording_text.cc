#include "smf/recording_text.h"

#include <string_view>

namespace arsis {

std::string recorded_on(const Score& file) {
  constexpr std::uint8_t kMeta = 0xFF;
  constexpr std::uint8_t kText = 0x01;
  const std::string_view beginning = kRecordedOn;
  for (const Message& message : file.messages) {
    const auto bytes = file.bytes_of(message);
    if (bytes.size() < 2 || bytes[0] != kMeta || bytes[1] != kText) continue;
    const std::string text(bytes.begin() + 2, bytes.end());
    if (text.starts_with(beginning)) return text.substr(beginning.size());
  }
  return {};
}

}  // namespace arsis
