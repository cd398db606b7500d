#include "draft/pitch_names.h"

#include <fmt/format.h>

#include <array>
#include <string_view>

namespace arsis {
namespace {

constexpr int kFifthsSlack = 7 * 12;  // keeps remainders from below 0

// Places on the line of fifths, C at 0, G at 1, F at -1.
int tonic_place(Tonality key) {
  const int sharpwards = key.tonic * 7 % 12;
  const int furthest = key.minor ? 8 : 6;  // G sharp minor, F sharp major
  return sharpwards <= furthest ? sharpwards : sharpwards - 12;
}

int place_of(int key_number, Tonality key) {
  // The twelve places from the flat sixth (in minor the flat second) to the sharp first (the sharp
  // fourth).
  const int first = tonic_place(key) - (key.minor ? 5 : 4);
  const int sharpwards = key_number % 12 * 7;
  return first + (sharpwards - first + kFifthsSlack) % 12;
}

// Of a place: how many semitones its letter is raised.
int alteration(int place) { return (place + 1 + kFifthsSlack) / 7 - kFifthsSlack / 7; }

}  // namespace

std::string pitch_class_name(int key_number, Tonality key) {
  constexpr std::string_view kLetters = "FCGDAEB";
  constexpr std::array<std::string_view, 5> kAlterations = {" double flat", " flat", "", " sharp",
                                                            " double sharp"};
  const int place = place_of(key_number, key);
  const char letter = kLetters[static_cast<unsigned>(place + 1 + kFifthsSlack) % 7];
  return fmt::format("{}{}", letter, kAlterations[static_cast<unsigned>(alteration(place) + 2)]);
}

std::string pitch_name(int key_number, Tonality key) {
  const int altered = alteration(place_of(key_number, key));
  const int octave = (key_number - altered + 12) / 12 - 2;
  return fmt::format("{}{}{}", pitch_class_name(key_number, key), altered == 0 ? "" : " ", octave);
}

}  // namespace arsis
