#include "base/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <vector>

namespace arsis {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Length of the UTF-8 sequence that starts at text[at], or 0 where it is not a valid one.
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(at);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xF0 && first <= 0xF4   ? 4
                             : first >= 0xE0 && first <= 0xEF ? 3
                             : first >= 0xC2 && first <= 0xDF ? 2
                                                              : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0) != 0x80) return 0;
  }
  const unsigned char second = byte(at + 1);  // overlong forms, surrogates, beyond U+10FFFF
  if (first == 0xE0 && second < 0xA0) return 0;
  if (first == 0xED && second > 0x9F) return 0;
  if (first == 0xF0 && second < 0x90) return 0;
  if (first == 0xF4 && second > 0x8F) return 0;
  return length;
}

// Edits between two words, a swap of neighbours counting as one (optimal string alignment).
std::size_t edits_between(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> edits(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) edits[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) edits[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = edits[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      edits[i][j] = std::min({replaced, edits[i - 1][j] + 1, edits[i][j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        edits[i][j] = std::min(edits[i][j], edits[i - 2][j - 2] + 1);
      }
    }
  }
  return edits[a.size()][b.size()];
}

}  // namespace

std::optional<std::int64_t> parse_integer(std::string_view text) {
  std::int64_t number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

std::optional<double> parse_number(std::string_view text) {
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos) {
    const auto above = parse_integer(text.substr(0, slash));
    const auto below = parse_integer(text.substr(slash + 1));
    if (!above || !below || *below <= 0) return std::nullopt;
    return static_cast<double>(*above) / static_cast<double>(*below);
  }
  double number = 0.0;
  const auto [end, failure] =
      std::from_chars(text.data(), text.data() + text.size(), number, std::chars_format::fixed);
  if (failure != std::errc() || end != text.data() + text.size() || !std::isfinite(number)) {
    return std::nullopt;
  }
  return number;
}

std::string lower_case(std::string_view text) {
  std::string small(text);
  std::ranges::transform(small, small.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c;
  });
  return small;
}

std::string letter_of(std::size_t number) {
  return std::string(1, static_cast<char>('a' + static_cast<char>(number % 26)));
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view kBlank = " \t\r\n";
  const std::size_t begin = text.find_first_not_of(kBlank);
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(kBlank) - begin + 1);
}

std::optional<NumberWithUnit> parse_number_with_unit(std::string_view text) {
  text = trimmed(text);
  std::size_t length = 0;
  while (length < text.size() && (is_digit(text[length]) || text[length] == '.' ||
                                  text[length] == '/' || (length == 0 && text[length] == '-'))) {
    ++length;
  }
  const std::optional<double> number = parse_number(text.substr(0, length));
  if (!number) return std::nullopt;
  return NumberWithUnit{*number, trimmed(text.substr(length))};
}

std::string short_number(double number, int decimals) {
  std::string text = fmt::format("{:.{}f}", number, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

std::optional<std::string_view> nearest_word(std::string_view word,
                                             std::span<const std::string_view> known) {
  constexpr std::size_t kLongestWord = 64;  // nobody mistypes a longer one; bounds the work
  if (word.size() > kLongestWord) return std::nullopt;
  const std::size_t allowed = std::max<std::size_t>(word.size() >= 4 ? 2 : 1, word.size() / 3);
  std::optional<std::string_view> nearest;
  std::size_t fewest = allowed + 1;
  for (const std::string_view candidate : known) {
    const std::size_t edits = edits_between(word, candidate);
    if (edits < fewest) {
      fewest = edits;
      nearest = candidate;
    }
  }
  return nearest;
}

std::string listed(std::span<const std::string_view> words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
    text += words[i];
  }
  return text;
}

std::size_t utf8_prefix(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t length = utf8_length(text, at);
    if (length == 0) break;
    at += length;
  }
  return at;
}

bool is_utf8(std::string_view text) { return utf8_prefix(text) == text.size(); }

std::string printable(std::string_view text, std::size_t limit) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = utf8_length(text, at);
    const auto first = static_cast<unsigned char>(text[at]);
    const bool control = first < 0x20 || first == 0x7F ||
                         (length == 2 && first == 0xC2 &&
                          static_cast<unsigned char>(text[at + 1]) < 0xA0);  // C1 controls
    const std::string_view piece =
        length == 0 || control ? std::string_view("?") : text.substr(at, length);
    if (out.size() + piece.size() > limit) break;
    out += piece;
    at += std::max<std::size_t>(length, 1);
  }
  return out;
}

}  // namespace arsis
