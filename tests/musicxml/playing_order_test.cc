// The order of play against hand-written ones. Common practice, no source, but for the meaning of
// the signs: MusicXML 4.0, elements `repeat`, `ending` and `sound`.
#include "musicxml/playing_order.h"

#include <gtest/gtest.h>

#include <sstream>
#include <string>
#include <vector>

namespace arsis {
namespace {

// Measures written as words: a letter for each, then what stands at it:
//   ( opens a repeat, ) closes it, )3 closes one that is played three times, 1 2 ... ending numbers
//   before the sign, $ segno, @ coda, t to coda, d da capo, s dal segno, f fine
std::vector<MeasureSigns> signs_of(const std::string& text) {
  std::vector<MeasureSigns> measures;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    MeasureSigns& signs = measures.emplace_back();
    for (std::size_t i = 1; i < word.size(); ++i) {
      const char sign = word[i];
      if (sign == '(') signs.begins_repeat = true;
      if (sign == ')') {
        const bool counted = i + 1 < word.size() && word[i + 1] == '3';
        signs.ends_repeat = counted ? 3 : 2;
        if (counted) ++i;
        continue;
      }
      if (sign >= '1' && sign <= '9') signs.endings.push_back(sign - '0');
      if (sign == '$') signs.segno = true;
      if (sign == '@') signs.coda = true;
      if (sign == 't') signs.to_coda = true;
      if (sign == 'd') signs.da_capo = true;
      if (sign == 's') signs.dal_segno = true;
      if (sign == 'f') signs.fine = true;
    }
  }
  return measures;
}

std::string played(const std::string& text) {
  std::string order;
  for (const PlayedMeasure& each : playing_order(signs_of(text))) {
    order += static_cast<char>('A' + each.measure);
    if (each.pass > 1) order += std::to_string(each.pass);
  }
  return order;
}

TEST(PlayingOrder, IsThatOfTheSigns) {
  struct Case {
    const char* what;
    const char* measures;
    const char* order;
  };
  const std::vector<Case> cases = {
      {"no signs", "A B C", "ABC"},
      {"nothing", "", ""},
      {"from the beginning", "A B) C", "ABA2B2C"},
      {"from its opening sign", "A B( C) D", "ABCB2C2D"},
      {"two sections, the second without a sign", "A B) C D)", "ABA2B2CDC2D2"},
      {"three times", "A( B)3 C", "ABA2B2A3B3C"},
      {"two endings", "A( B C1) D2 E", "ABCA2B2DE"},
      {"two endings of two measures", "A( B1 C1) D2 E2 F", "ABCA2DEF"},
      {"an ending for two passes", "A( B12) C3 D", "ABA2B2A3CD"},
      {"three endings", "A( B1) C2) D3 E", "ABA2CA3DE"},
      {"a section after endings", "A B1) C2 D E) F", "ABA2CDED2E2F"},
      {"two sections with endings", "A( B1) C2 D( E1) F2", "ABA2CDED2F"},
      {"da capo al fine", "A Bf C Dd", "ABCDA2B2"},
      {"da capo without a fine", "A Bd", "ABA2B2"},
      {"da capo without its repeats", "A B)f C D)d", "ABA2B2CDC2D2A3B3"},
      {"da capo with the last ending", "A( B1) C2f D Ed", "ABA2CDEA3C2"},
      {"dal segno al fine", "A B$ C Df E Fs", "ABCDEFB2C2D2"},
      {"da capo al coda", "A Bt C Dd E@ F", "ABCDA2B2EF"},
      {"dal segno al coda", "A B$ Ct D Es F@ G", "ABCDEB2C2FG"},
      {"a segno that is not there", "A Bs C", "ABC"},
      {"a coda that is not there", "A Bt Cd", "ABCA2B2C2"},
      {"a repeat of one measure", "A()", "AA2"},
  };
  for (const auto& [what, measures, order] : cases) EXPECT_EQ(played(measures), order) << what;
}

TEST(PlayingOrder, EndsWhateverTheSignsAre) {
  // Every combination of two signs at each of three measures.
  const std::string signs = "()123$@tdsf";
  for (std::size_t code = 0; code < 11 * 11 * 11 * 11; ++code) {
    const auto sign = [&](std::size_t place) {
      std::size_t rest = code;
      for (std::size_t i = 0; i < place; ++i) rest /= 11;
      return signs[rest % 11];
    };
    const std::string text = std::string("A") + sign(0) + " B" + sign(1) + sign(2) + " C" + sign(3);
    EXPECT_LT(playing_order(signs_of(text)).size(), 40u) << text;
  }
  std::vector<MeasureSigns> often(1000);
  often.front().ends_repeat = 1'000'000;
  EXPECT_LE(playing_order(often).size(), kMostPlayedMeasures);
}

}  // namespace
}  // namespace arsis
