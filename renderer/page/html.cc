#include "page/html.h"

#include <vector>

namespace arsis {
namespace {

constexpr std::string_view kSixBits =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

std::uint8_t value_of(char hexadecimal) {
  const auto digit = std::string_view("0123456789abcdef").find(hexadecimal);
  return digit == std::string_view::npos ? std::uint8_t{0} : static_cast<std::uint8_t>(digit);
}

}  // namespace

void add_base64(std::string& text, std::span<const std::uint8_t> bytes) {
  text.reserve(text.size() + (bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      group = group << 8 | (k < count ? std::uint32_t{bytes[i + k]} : 0u);
    }
    for (std::size_t k = 0; k < 4; ++k) {
      text += k <= count ? kSixBits[group >> (18 - 6 * k) & 63u] : '=';
    }
  }
}

std::string script_safe(std::string_view json) {
  std::string safe;
  safe.reserve(json.size());
  for (const char letter : json) {
    if (letter == '<') {
      safe += "\\u003c";
    } else {
      safe += letter;
    }
  }
  return safe;
}

std::string hash_source(std::string_view sha256) {
  std::vector<std::uint8_t> bytes;
  for (std::size_t i = 0; i + 1 < sha256.size(); i += 2) {
    bytes.push_back(static_cast<std::uint8_t>(value_of(sha256[i]) << 4 | value_of(sha256[i + 1])));
  }
  std::string source = "'sha256-";
  add_base64(source, bytes);
  return source + "'";
}

}  // namespace arsis
