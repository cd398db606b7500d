// What words ask for. Their meanings are common practice, no source.
#include "musicxml/printed_words.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>

namespace arsis {
namespace {

std::string text_of(const std::vector<WordMeaning>& meanings) {
  std::string text;
  for (const WordMeaning& each : meanings) {
    constexpr const char* kNames[] = {"dynamic", "sf",    "fp",   "cresc", "dim",
                                      "gradual", "once",  "back", "first", "tempo",
                                      "capo",    "segno", "fine", "coda"};
    text += fmt::format("{}{}", text.empty() ? "" : " ", kNames[static_cast<int>(each.kind)]);
    if (each.number != 0.0) text += fmt::format("({:g})", each.number);
  }
  return text;
}

TEST(PrintedWords, MeanWhatAMusicianReads) {
  struct Row {
    const char* words;
    const char* meaning;
  };
  constexpr Row kRows[] = {
      {"cresc.", "cresc"},
      {"CRESCENDO", "cresc"},
      {"poco a poco cresc. molto", "cresc"},
      {"cresc. e accel.", "cresc gradual(1.3)"},
      {"dim.", "dim"},
      {"dimin.", "dim"},
      {"diminuendo", "dim"},
      {"decresc.", "dim"},
      {"smorz.", "dim"},
      {"morendo", "dim gradual(0.75)"},
      {"calando", "dim gradual(0.75)"},
      {"rit.", "gradual(0.7)"},
      {"poco rit.", "gradual(0.7)"},
      {"ritard.", "gradual(0.7)"},
      {"rallentando", "gradual(0.7)"},
      {"riten.", "once(0.85)"},
      {"ritenuto", "once(0.85)"},
      {"allargando", "gradual(0.75)"},
      {"stringendo", "gradual(1.3)"},
      {"a tempo", "back"},
      {"A Tempo", "back"},
      {"Tempo I", "first"},
      {"Tempo primo", "first"},
      {"Tempo I\xC2\xB0", "first"},
      {"pi\xC3\xB9 mosso", "once(1.15)"},
      {"PI\xC3\x99 MOSSO", "once(1.15)"},
      {"meno mosso", "once(0.85)"},
      {"Andante con moto", "tempo(76)"},
      {"Molto allegro", "tempo(132)"},
      {"Allegretto", "tempo(112)"},
      {"senza rit.", ""},
      {"non cresc.", ""},
      {"sotto voce", "dynamic(-2)"},
      {"meno f", "dynamic"},
      {"meno piano", "dynamic(-1)"},
      {"sempre pp", "dynamic(-3)"},
      {"mezzo forte", "dynamic"},
      {"subito f", "dynamic(1)"},
      {"sfz", "sf"},
      {"D.C. al Fine", "capo"},
      {"D.S. al Coda", "segno"},
      {"Da Capo", "capo"},
      {"Fine", "fine"},
      {"To Coda", "coda"},
      {"dolce", ""},
      {"ritmico", ""},
      {"", ""},
      {"...", ""},
      {"\xFF\xC3", ""},
  };
  for (const Row& row : kRows) EXPECT_EQ(text_of(meanings_of(row.words)), row.meaning) << row.words;
}

// The elements of MusicXML 4.0, group `dynamics`.
TEST(PrintedWords, KnowEveryDynamicOfTheStandard) {
  struct Row {
    const char* name;
    const char* meaning;
  };
  constexpr Row kRows[] = {
      {"p", "dynamic(-2)"},
      {"pp", "dynamic(-3)"},
      {"ppp", "dynamic(-4)"},
      {"pppp", "dynamic(-5)"},
      {"ppppp", "dynamic(-5)"},
      {"pppppp", "dynamic(-5)"},
      {"f", "dynamic(1)"},
      {"ff", "dynamic(2)"},
      {"fff", "dynamic(3)"},
      {"ffff", "dynamic(4)"},
      {"fffff", "dynamic(4)"},
      {"ffffff", "dynamic(4)"},
      {"mp", "dynamic(-1)"},
      {"mf", "dynamic"},
      {"sf", "sf"},
      {"sfp", "fp sf dynamic(-2)"},
      {"sfpp", "fp sf dynamic(-3)"},
      {"fp", "fp dynamic(-2)"},
      {"rf", "sf"},
      {"rfz", "sf"},
      {"sfz", "sf"},
      {"sffz", "sf"},
      {"fz", "sf"},
      {"n", "dynamic(-5)"},
      {"pf", "dynamic"},
      {"sfzp", "fp sf dynamic(-2)"},
      {"xyz", ""},
      {"", ""},
  };
  for (const Row& row : kRows) {
    EXPECT_EQ(text_of(meanings_of_dynamic(row.name)), row.meaning) << row.name;
  }
}

}  // namespace
}  // namespace arsis
