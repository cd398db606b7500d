// Numbers, words and text of unknown origin.
#include "base/text.h"

#include <gtest/gtest.h>

#include <array>
#include <string>

#include "property.h"

namespace arsis {
namespace {

using namespace std::string_view_literals;

TEST(Integer, IsReadWholeOrNotAtAll) {
  EXPECT_EQ(parse_integer("0"), 0);
  EXPECT_EQ(parse_integer("-12"), -12);
  EXPECT_EQ(parse_integer("007"), 7);
  EXPECT_EQ(parse_integer("9223372036854775807"), INT64_MAX);
  for (const auto bad :
       {"", " 1", "1 ", "+1", "1.0", "1e3", "0x10", "9223372036854775808", "one", "-", "--1"}) {
    EXPECT_EQ(parse_integer(bad), std::nullopt) << bad;
  }
}

TEST(Number, IsADecimalOrAFraction) {
  struct Row {
    std::string_view text;
    double number;
  };
  constexpr Row kRows[] = {{"3", 3.0},       {"-4.5", -4.5},     {"0.25", 0.25}, {".5", 0.5},
                           {"1/3", 1.0 / 3}, {"-7/4", -7.0 / 4}, {"6/3", 2.0},   {"-0", 0.0}};
  for (const auto& [text, number] : kRows) {
    ASSERT_TRUE(parse_number(text).has_value()) << text;
    EXPECT_DOUBLE_EQ(*parse_number(text), number) << text;
  }
  for (const auto bad : {"", " 3", "3 ", "1e3", "inf", "-inf", "nan", "0x1p3", "1/0", "1/-2",
                         "1/2/3", "1.5/2", "/2", "1/", "1,5", "+1", "-", ".", "1..2"}) {
    EXPECT_EQ(parse_number(bad), std::nullopt) << bad;
  }
}

TEST(Number, IsFiniteHoweverManyDigitsItHas) {
  EXPECT_EQ(parse_number(std::string(400, '9')), std::nullopt);
  EXPECT_TRUE(parse_number("0." + std::string(400, '0') + "1").value_or(0.0) < 1e-300);
}

TEST(NumberWithUnit, TakesTheUnitWithOrWithoutABlank) {
  struct Row {
    std::string_view text;
    double number;
    std::string_view unit;
  };
  constexpr Row kRows[] = {{"2.5 dB", 2.5, "dB"},      {"4%", 4.0, "%"},
                           {"-4", -4.0, ""},           {"1/2 beat", 0.5, "beat"},
                           {" 2  bars ", 2.0, "bars"}, {"2 %/dB", 2.0, "%/dB"},
                           {"1e3 dB", 1.0, "e3 dB"}};
  for (const auto& [text, number, unit] : kRows) {
    const auto read = parse_number_with_unit(text);
    ASSERT_TRUE(read.has_value()) << text;
    EXPECT_DOUBLE_EQ(read->number, number) << text;
    EXPECT_EQ(read->unit, unit) << text;
  }
  for (const auto bad : {"", "dB", "- 4 dB", "1.2.3 dB",
                         "\xE2\x88\x92"
                         "4 dB"}) {
    EXPECT_FALSE(parse_number_with_unit(bad).has_value()) << bad;
  }
}

TEST(ShortNumber, HasNoNeedlessZeros) {
  EXPECT_EQ(short_number(2.50), "2.5");
  EXPECT_EQ(short_number(3.0), "3");
  EXPECT_EQ(short_number(100.0), "100");
  EXPECT_EQ(short_number(-5.982), "-5.982");
  EXPECT_EQ(short_number(1.0 / 3.0), "0.333");
  EXPECT_EQ(short_number(-0.0001), "0");
  EXPECT_EQ(short_number(2.96, 1), "3");
  EXPECT_EQ(short_number(10.4, 0), "10");
}

TEST(ShortNumber, IsReadBackAsTheSameNumber) {
  EXPECT_TRUE(test::holds(1000, [] {
    const double number = *rc::gen::inRange(-100'000, 100'000) / 1000.0;
    RC_ASSERT(std::abs(parse_number(short_number(number)).value_or(1e9) - number) < 1e-9);
  }));
}

TEST(NearestWord, ForgivesSlipsOfTheFinger) {
  constexpr std::array kWords = {"sentences"sv, "phrases"sv, "motifs"sv, "main"sv, "at"sv, "to"sv};
  struct Row {
    std::string_view word;
    std::optional<std::string_view> nearest;
  };
  constexpr Row kRows[] = {
      {"sentence", "sentences"}, {"phrase", "phrases"}, {"motives", "motifs"},
      {"mian", "main"},          {"ta", "at"},          {"maim", "main"},
      {"piccolo", std::nullopt}, {"xy", std::nullopt},  {"senntenecs", "sentences"}};
  for (const auto& [word, nearest] : kRows) EXPECT_EQ(nearest_word(word, kWords), nearest) << word;
  EXPECT_EQ(nearest_word(std::string(1'000'000, 'm'), kWords), std::nullopt);
  EXPECT_EQ(nearest_word("main", {}), std::nullopt);
}

TEST(Listed, JoinsWordsAsASentenceDoes) {
  constexpr std::array kWords = {"a"sv, "b"sv, "c"sv};
  EXPECT_EQ(listed({}), "");
  EXPECT_EQ(listed(std::span(kWords).first(1)), "a");
  EXPECT_EQ(listed(std::span(kWords).first(2)), "a or b");
  EXPECT_EQ(listed(kWords), "a, b or c");
}

TEST(Letter, ComesFromItsNumber) {
  EXPECT_EQ(letter_of(0), "a");
  EXPECT_EQ(letter_of(25), "z");
  EXPECT_EQ(letter_of(26), "a");
}

TEST(Trimmed, TakesBlanksOffBothEnds) {
  EXPECT_EQ(trimmed(" \t a b\r\n"), "a b");
  EXPECT_EQ(trimmed(" \n "), "");
}

// Source: The Unicode Standard, table 3-7 (well-formed UTF-8 byte sequences).
TEST(Utf8, IsWellFormedOrRefused) {
  for (const auto good : {""sv, "abc"sv, "\xC3\xBC"sv, "\xE2\x99\xAF"sv, "\xF0\x9D\x84\x9E"sv,
                          "\xF4\x8F\xBF\xBF"sv, "\xED\x9F\xBF"sv, "\xEE\x80\x80"sv}) {
    EXPECT_TRUE(is_utf8(good));
    EXPECT_EQ(utf8_prefix(good), good.size());
  }
  for (const auto bad : {"\x80"sv, "\xC3"sv, "\xC0\xAF"sv, "\xE0\x80\xAF"sv, "\xED\xA0\x80"sv,
                         "\xF0\x80\x80\xAF"sv, "\xF4\x90\x80\x80"sv, "\xF5\x80\x80\x80"sv, "\xFF"sv,
                         "\xE2\x99"sv, "\xFE\xFF"sv, "\xC3\x28"sv}) {
    EXPECT_FALSE(is_utf8(bad));
    EXPECT_EQ(utf8_prefix("ab" + std::string(bad)), 2u);
  }
}

TEST(Printable, LeavesNothingThatCouldSteerATerminal) {
  struct Row {
    std::string_view raw;
    std::string_view shown;
  };
  constexpr Row kRows[] = {{"Right hand"sv, "Right hand"sv},
                           {"Fl\xC3\xB6te \xE2\x99\xAF"sv, "Fl\xC3\xB6te \xE2\x99\xAF"sv},
                           {"\x1B[2J"sv, "?[2J"sv},
                           {"a\nb\tc\0d\x7F"sv, "a?b?c?d?"sv},
                           {"\xC2\x9B"
                            "31m"sv,
                            "?31m"sv},  // the C1 form of the escape sequence
                           {"\xFF\xC3"sv, "??"sv},
                           {"\xED\xA0\x80"sv, "???"sv}};
  for (const auto& [raw, shown] : kRows) EXPECT_EQ(printable(raw), shown);
}

TEST(Printable, NeverCutsACharacter) {
  EXPECT_EQ(printable("abc", 2), "ab");
  EXPECT_EQ(printable("a\xC3\xBC", 2), "a");
  EXPECT_EQ(printable("a\xC3\xBC", 3), "a\xC3\xBC");
  EXPECT_EQ(printable("abc", 0), "");
}

TEST(Printable, IsAlwaysShortValidText) {
  EXPECT_TRUE(test::holds(5000, [] {
    const auto raw = *rc::gen::container<std::string>(rc::gen::arbitrary<char>());
    const std::string shown = printable(raw, 20);
    RC_ASSERT(is_utf8(shown));
    RC_ASSERT(shown.size() <= 20u);
    for (const char c : shown) RC_ASSERT(static_cast<unsigned char>(c) >= 0x20 && c != 0x7F);
    RC_ASSERT(printable(shown) == shown);
  }));
}

}  // namespace
}  // namespace arsis
