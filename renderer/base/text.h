// Text of numbers, fractions and words: what the plan reader, the command line and the printed
// pages share. Locale-free.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace arsis {

// A whole number in decimal, with an optional minus; nothing before or after it.
std::optional<std::int64_t> parse_integer(std::string_view text);

// A finite decimal number ("3", "-4.5"), or a fraction of two whole numbers ("1/3"); nothing before
// or after it. No exponents, no "inf" or "nan".
std::optional<double> parse_number(std::string_view text);

// "2.5 dB" -> 2.5 and "dB"; "4%" -> 4 and "%"; "-4" -> -4 and "". The unit is what follows the
// number, without the blanks around it.
struct NumberWithUnit {
  double number = 0.0;
  std::string_view unit;
};
std::optional<NumberWithUnit> parse_number_with_unit(std::string_view text);

// With the letters A to Z as small ones.
std::string lower_case(std::string_view text);
// "a", "b" ... "z" of a number from 0; after that from "a" again.
std::string letter_of(std::size_t number);

std::string_view trimmed(std::string_view text);

// The number with at most `decimals` digits after the point and no needless zeros: 2.50 -> "2.5".
std::string short_number(double number, int decimals = 3);

// The word of `known` nearest to `word`: at most a third of its letters (at least two edits are
// allowed for words of four letters and up) away by insertions, deletions, replacements and swaps
// of neighbours; nothing if none is that near.
std::optional<std::string_view> nearest_word(std::string_view word,
                                             std::span<const std::string_view> known);

// "a", "a or b", "a, b or c".
std::string listed(std::span<const std::string_view> words);

// How many bytes from the start are valid UTF-8.
std::size_t utf8_prefix(std::string_view text);
bool is_utf8(std::string_view text);

// Bytes of unknown origin (a track name, a title) made fit for a terminal: valid UTF-8 without
// control characters, at most `limit` bytes; what does not fit becomes '?'.
std::string printable(std::string_view text, std::size_t limit = 80);

}  // namespace arsis
