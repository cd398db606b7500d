// Scores of random metres, pickups and notes, for properties.
#pragma once

#include <string>

#include "property.h"
#include "score_builder.h"

namespace arsis::test {

inline std::string random_line(int octave) {
  std::string line;
  const int notes = *rc::gen::inRange(0, 60);
  for (int i = 0; i < notes; ++i) {
    const std::string length = "/" + std::to_string(*rc::gen::inRange(1, 9) / 2.0) + " ";
    const char* names[] = {"r", "C", "D", "E", "F", "G", "A", "B"};
    const std::string name = names[*rc::gen::inRange(0, 8)];
    line += name == "r" ? "r" + length : name + std::to_string(octave) + length;
  }
  return line;
}

inline ScoreText random_score_text() {
  ScoreText text;
  double at = 0.0;
  const int changes = *rc::gen::inRange(1, 4);
  for (int i = 0; i < changes; ++i) {
    text.signatures.push_back({{at}, {*rc::gen::inRange(1, 13), 1 << *rc::gen::inRange(0, 5)}});
    at += *rc::gen::inRange(1, 60) / 4.0;
  }
  text.parts.push_back(random_line(5) + "C5");
  if (*rc::gen::arbitrary<bool>()) text.parts.push_back(random_line(3) + "C3");
  if (*rc::gen::arbitrary<bool>()) text.pickup = Beats{*rc::gen::inRange(1, 6) / 2.0};
  return text;
}

inline Score random_score() { return score_of(random_score_text()); }

}  // namespace arsis::test
