#include "draft/melodies.h"

#include <vector>

namespace arsis::test {
namespace {

constexpr Beats kQuarter{1.0};
constexpr Beats kEighth{0.5};
constexpr auto kPhrase = Level::kPhrase;
constexpr auto kSentence = Level::kSentence;

}  // namespace

std::span<const Melody> melodies() {
  static const std::vector<Melody> kAll = {
      {"Twinkle, twinkle",
       {4, 4},
       {},  // from memory
       "C4 C4 G4 G4 A4 A4 G4/2 F4 F4 E4 E4 D4 D4 C4/2 G4 G4 F4 F4 E4 E4 D4/2 G4 G4 F4 F4 E4 E4 "
       "D4/2 "
       "C4 C4 G4 G4 A4 A4 G4/2 F4 F4 E4 E4 D4 D4 C4/2",
       kPhrase,
       "1:1 3:1 5:1 7:1 9:1 11:1"},
      {"Der Mond ist aufgegangen",
       {4, 4},
       kQuarter,  // from memory
       "G4 A4 G4 C5 B4 A4/2 G4 B4 B4 B4 E5 D5 C5/2 B4 B4 B4 A4 G4 A4 G4/3 "
       "G4 A4 G4 C5 B4 A4/2 G4 B4 B4 B4 E5 D5 C5/2 B4 B4 B4 A4 G4 A4 G4/3",
       kPhrase,
       "0:4 2:4 4:4 6:4 8:4 10:4"},
      {"Frere Jacques",
       {4, 4},
       {},  // from memory
       "C4 D4 E4 C4 C4 D4 E4 C4 E4 F4 G4/2 E4 F4 G4/2 "
       "G4/.5 A4/.5 G4/.5 F4/.5 E4 C4 G4/.5 A4/.5 G4/.5 F4/.5 E4 C4 C4 G3 C4/2 C4 G3 C4/2",
       kPhrase,
       "1:1 3:1 5:1 7:1"},
      {"Au clair de la lune",
       {4, 4},
       {},  // from memory
       "C4 C4 C4 D4 E4/2 D4/2 C4 E4 D4 D4 C4/4 C4 C4 C4 D4 E4/2 D4/2 C4 E4 D4 D4 C4/4 "
       "D4 D4 D4 D4 A3/2 A3/2 D4 C4 B3 A3 G3/4 C4 C4 C4 D4 E4/2 D4/2 C4 E4 D4 D4 C4/4",
       kSentence,
       "1:1 5:1 9:1 13:1"},
      {"God save the King",
       {3, 4},
       {},  // from memory
       "G4 G4 A4 F#4/1.5 G4/.5 A4 B4 B4 C5 B4/1.5 A4/.5 G4 A4 G4 F#4 G4/3 "
       "D5 D5 D5 D5/1.5 C5/.5 B4 C5 C5 C5 C5/1.5 B4/.5 A4 "
       "B4 C5/.5 B4/.5 A4/.5 G4/.5 B4/1.5 C5/.5 D5 E5/.5 C5/.5 B4 A4 G4/3",
       kPhrase,
       "1:1 3:1 5:1 7:1 9:1 11:1 13:1",
       true},
      {"Haenschen klein",
       {4, 4},
       {},  // from memory
       "G4 E4 E4/2 F4 D4 D4/2 C4 D4 E4 F4 G4 G4 G4/2 G4 E4 E4/2 F4 D4 D4/2 C4 E4 G4 G4 C4/4 "
       "D4 D4 D4 D4 D4 E4 F4/2 E4 E4 E4 E4 E4 F4 G4/2 G4 E4 E4/2 F4 D4 D4/2 C4 E4 G4 G4 C4/4",
       kSentence,
       "1:1 5:1 9:1 13:1"},
      {"Amazing grace",
       {3, 4},
       kQuarter,  // from memory
       "D4 G4/2 B4/.5 G4/.5 B4/2 A4 G4/2 E4 D4/2 D4 G4/2 B4/.5 G4/.5 B4/2 A4 D5/5 "
       "B4 D5/2 B4/.5 G4/.5 B4/2 A4 G4/2 E4 D4/2 D4 G4/2 B4/.5 G4/.5 B4/2 A4 G4/5",
       kSentence,
       "0:3 4:3 8:3 12:3"},
      {"Auld lang syne",
       {4, 4},
       kQuarter,  // from memory
       "C4 F4/1.5 F4/.5 F4 A4 G4/1.5 F4/.5 G4 A4 F4/1.5 F4/.5 A4 C5 D5/3 "
       "D5 C5/1.5 A4/.5 A4 F4 G4/1.5 F4/.5 G4 A4 F4/1.5 D4/.5 D4 C4 F4/3 "
       "D5 C5/1.5 A4/.5 A4 F4 G4/1.5 F4/.5 G4 D5 C5/1.5 A4/.5 A4 C5 D5/3 "
       "D5 C5/1.5 A4/.5 A4 F4 G4/1.5 F4/.5 G4 A4 F4/1.5 D4/.5 D4 C4 F4/3",
       kSentence,
       "0:4 4:4 8:4 12:4"},
      {"When the saints",
       {4, 4},
       {{3.0}},  // from memory
       "C4 E4 F4 G4/4 r C4 E4 F4 G4/4 r C4 E4 F4 G4/2 E4/2 C4/2 E4/2 D4/4 "
       "r E4 E4 D4 C4/3 C4 E4/2 G4 G4 F4/4 r E4 F4/2 G4/2 E4/2 C4/2 D4/2 C4/4",
       kSentence,
       "0:2 4:2 8:2 12:2"},
      {"O Tannenbaum",
       {3, 4},
       kEighth,  // from memory
       "C4/.5 F4/.75 F4/.25 F4/1.5 G4/.5 A4/.75 A4/.25 A4/1.5 A4/.5 G4/.5 A4/.5 Bb4 E4 G4 F4 r/.5 "
       "C4/.5 F4/.75 F4/.25 F4/1.5 G4/.5 A4/.75 A4/.25 A4/1.5 A4/.5 G4/.5 A4/.5 Bb4 E4 G4 F4 r/.5 "
       "C5/.5 C5/.75 A4/.25 D5/1.5 C5/.5 C5/.75 Bb4/.25 Bb4/1.5 Bb4/.5 "
       "Bb4/.75 G4/.25 C5/1.5 Bb4/.5 Bb4/.75 A4/.25 A4/1.5 "
       "C4/.5 F4/.75 F4/.25 F4/1.5 G4/.5 A4/.75 A4/.25 A4/1.5 A4/.5 G4/.5 A4/.5 Bb4 E4 G4 F4/1.5",
       kSentence,
       "0:3.5 4:3.5 8:3.5 12:3.5"},
      {"Greensleeves",
       {6, 8},
       kEighth,  // from memory
       "A4/.5 C5 D5/.5 E5/.75 F5/.25 E5/.5 D5 B4/.5 G4/.75 A4/.25 B4/.5 C5 A4/.5 A4/.75 G#4/.25 "
       "A4/.5 B4 G#4/.5 E4 A4/.5 C5 D5/.5 E5/.75 F5/.25 E5/.5 D5 B4/.5 G4/.75 A4/.25 B4/.5 "
       "C5/.75 B4/.25 A4/.5 G#4/.75 F#4/.25 G#4/.5 A4/1.5 A4 r/.5 "
       "G5/1.5 G5/.75 F#5/.25 E5/.5 D5 B4/.5 G4/.75 A4/.25 B4/.5 C5 A4/.5 A4/.75 G#4/.25 A4/.5 "
       "B4 G#4/.5 E4 r/.5 G5/1.5 G5/.75 F#5/.25 E5/.5 D5 B4/.5 G4/.75 A4/.25 B4/.5 "
       "C5/.75 B4/.25 A4/.5 G#4/.75 F#4/.25 G#4/.5 A4/1.5 A4",
       kSentence,
       "0:6 4:6 9:1 13:1",
       true},
      {"London Bridge",
       {4, 4},
       {},  // from memory
       "G4/1.5 A4/.5 G4 F4 E4 F4 G4/2 D4 E4 F4/2 E4 F4 G4/2 "
       "G4/1.5 A4/.5 G4 F4 E4 F4 G4/2 D4/2 G4/2 E4 C4/3",
       kSentence,
       "1:1 5:1"},
      {"Old Hundredth",
       {4, 4},
       kQuarter,  // from memory
       "G4 G4 F#4 E4 D4 G4 A4 B4 B4 B4 B4 A4 G4 C5 B4 A4 G4 A4 B4 A4 G4 E4 F#4 G4 "
       "D5 B4 G4 A4 C5 B4 A4 G4",
       kPhrase,
       "0:4 2:4 4:4 6:4"},
      {"Vo pole beryoza",
       {2, 4},
       {},  // from memory
       "E5/.5 E5/.5 E5/.5 E5/.5 D5 C5/.5 C5/.5 B4 A4 E5/.5 E5/.5 G5/.5 F5/.5 E5/.5 D5/.5 C5 B4 A4 "
       "B4/1.5 C5/.5 D5 C5/.5 C5/.5 B4 A4 B4/1.5 C5/.5 D5 C5/.5 C5/.5 B4 A4",
       kPhrase,
       "1:1 4:1 7:1 10:1"},
      {"Row, row",
       {6, 8},
       {},  // from memory
       "C4/1.5 C4/1.5 C4 D4/.5 E4/1.5 E4 D4/.5 E4 F4/.5 G4/3 "
       "C5/.5 C5/.5 C5/.5 G4/.5 G4/.5 G4/.5 E4/.5 E4/.5 E4/.5 C4/.5 C4/.5 C4/.5 "
       "G4 F4/.5 E4 D4/.5 C4/3",
       kPhrase,
       "1:1 3:1 5:1 7:1"},
      {"My Bonnie",
       {3, 4},
       kQuarter,  // from memory
       "G4 E5 D5 C5 D5 C5 A4 G4 E4/4 G4 E5 D5 C5 C5 B4 C5 D5/5 "
       "G4 E5 D5 C5 D5 C5 A4 G4 E4/4 G4 A4 D5 C5 B4 A4 B4 C5/5",
       kSentence,
       "0:3 4:3 8:3 12:3",
       true},
      {"Kuckuck, Kuckuck",
       {3, 4},
       {},  // from memory
       "G4 E4/2 G4 E4/2 D4 C4 D4 C4/3 D4 D4 E4 F4/2 D4 E4 E4 F4 G4/2 E4 "
       "G4 E4/2 G4 E4/2 F4 E4 D4 C4/3",
       kSentence,
       "1:1 5:1 9:1"},
      {"Sur le pont d'Avignon",
       {4, 4},
       {},  // from memory
       "C4 C4 C4/2 D4 D4 D4/2 E4 F4 G4 C4 B3 C4 D4 G3 C4 C4 C4/2 D4 D4 D4/2 E4 F4 G4 C4 D4 B3 C4/2",
       kSentence,
       "1:1 5:1"},
      {"Alle meine Entchen",
       {4, 4},
       {},  // from memory
       "C4 D4 E4 F4 G4/2 G4/2 A4 A4 A4 A4 G4/4 A4 A4 A4 A4 G4/4 F4 F4 F4 F4 E4/2 E4/2 "
       "G4 G4 G4 G4 C4/4",
       kPhrase,
       "1:1 3:1 5:1 7:1 9:1",
       true},
      // The following were written in after all rules and weights were settled.
      {"Alle Voegel sind schon da",
       {4, 4},
       {},  // from memory
       "C4/1.5 E4/.5 G4 C5 A4 C5/.5 A4/.5 G4/2 F4/1.5 G4/.5 E4 C4 D4/2 C4/2 "
       "G4 G4 F4 F4 E4 G4/.5 E4/.5 D4/2 G4 G4 F4 F4 E4 G4/.5 E4/.5 D4/2 "
       "C4/1.5 E4/.5 G4 C5 A4 C5/.5 A4/.5 G4/2 F4/1.5 G4/.5 E4 C4 D4/2 C4/2",
       kSentence,
       "1:1 5:1 9:1",
       true},
      {"Sakura",
       {4, 4},
       {},  // from memory
       "A4 A4 B4/2 A4 A4 B4/2 A4 B4 C5 B4 A4 B4/.5 A4/.5 F4/2 E4 C4 E4 F4 E4 E4/.5 C4/.5 B3/2 "
       "A4 B4 C5 B4 A4 B4/.5 A4/.5 F4/2 E4 C4 E4 F4 E4 E4/.5 C4/.5 B3/2 "
       "A4 A4 B4/2 A4 A4 B4/2 E4 F4 B4/.5 A4/.5 F4 E4/4",
       kPhrase,
       "1:1 3:1 5:1 7:1 9:1 11:1 13:1",
       true},
      {"Londonderry air",
       {4, 4},
       {{1.5}},  // from memory
       "B3/.5 C4/.5 D4/.5 E4/1.5 D4/.5 E4 A4 G4/.5 E4/.5 D4/.5 C4/.5 A3/.5 "
       "C4/.5 E4/.5 F4/.5 G4/1.5 A4/.5 G4/.5 E4/.5 C4/.5 E4/.5 D4/2.5 "
       "B3/.5 C4/.5 D4/.5 E4/1.5 D4/.5 E4 A4 G4/.5 E4/.5 D4/.5 C4/.5 A3/.5 "
       "B3/.5 C4/.5 D4/.5 E4/1.5 F4/.5 E4/.5 D4/.5 C4/.5 D4/.5 C4/2.5 "
       "G4/.5 A4/.5 B4/.5 C5/1.5 B4/.5 B4/.5 A4/.5 G4/.5 A4/.5 G4/.5 E4/.5 C4/1.5 "
       "G4/.5 A4/.5 B4/.5 C5/1.5 B4/.5 B4/.5 A4/.5 G4/.5 E4/.5 D4/2.5 "
       "G4/.5 G4/.5 G4/.5 E5/1.5 D5/.5 D5 C5 A4/.5 C5/.5 A4/.5 G4/.5 E4/.5 "
       "B3/.5 C4/.5 D4/.5 E4 A4/.5 G4/.5 E4/.5 D4/.5 C4/.5 B3/.5 C4/2.5",
       kSentence,
       "0:3.5 4:3.5 8:3.5 12:3.5",
       true},
      {"O du lieber Augustin",
       {3, 4},
       {},  // from memory
       "G4 A4/.5 G4/.5 F4 E4 C4 C4 D4 G3 G3 E4 C4/2 G4 A4/.5 G4/.5 F4 E4 C4 C4 D4 G3 G3 C4/3 "
       "D4 G3 G3 E4 C4/2 D4 G3 G3 E4 C4/2 G4 A4/.5 G4/.5 F4 E4 C4 C4 D4 G3 G3 C4/3",
       kSentence,
       "1:1 5:1 9:1 13:1",
       true},
      {"Yankee Doodle",
       {4, 4},
       {},  // from memory
       "C5 C5 D5 E5 C5 E5 D5 G4 C5 C5 D5 E5 C5/2 B4/2 C5 C5 D5 E5 F5 E5 D5 C5 B4 G4 A4 B4 C5/2 "
       "C5/2 "
       "A4/1.5 B4/.5 A4 G4 A4 B4 C5/2 G4/1.5 A4/.5 G4 F4 E4/2 G4/2 "
       "A4/1.5 B4/.5 A4 G4 A4 B4 C5 A4 G4 C5 B4 D5 C5/2 C5/2",
       kSentence,
       "1:1 5:1 9:1 13:1",
       true},
  };
  return kAll;
}

}  // namespace arsis::test
