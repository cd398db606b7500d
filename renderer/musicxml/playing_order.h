// In which order printed measures are played: repeats, endings, da capo, dal segno, coda, fine.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace arsis {

// What a printed measure says about where to go.
struct MeasureSigns {
  bool begins_repeat = false;  // a repeat sign that opens here
  int ends_repeat = 0;         // how often the section is played that closes here; 0: none closes
  std::vector<int> endings;    // numbers of the volta that it stands under; empty: under none
  bool segno = false;
  bool coda = false;  // the sign that a jump goes to
  bool to_coda = false;
  bool da_capo = false;
  bool dal_segno = false;
  bool fine = false;
};

struct PlayedMeasure {
  std::size_t measure = 0;  // index of the printed one
  int pass = 1;             // how often it is played by then, this time included
};

// No more are made: a hundred thousand bars are some days of music.
inline constexpr std::size_t kMostPlayedMeasures = 100'000;

// As common practice has it, no source:
//   - a section goes back to its opening sign, else to the end of the section before, else to the
//     beginning
//   - of an ending only the measures with the number of the pass are played; a section with endings
//     is played as often as their highest number
//   - after a da capo or dal segno, each of which is taken once, repeats are not taken again and
//   the
//     last ending is played; "to coda" and "fine" count only then
//   - a jump without its sign is passed over
std::vector<PlayedMeasure> playing_order(std::span<const MeasureSigns> measures);

}  // namespace arsis
