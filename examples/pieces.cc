// The music of the demo pieces.
#include "piece.h"

namespace arsis {
namespace {

// D minor to F major and back. Six sentences of six bars. Under the first sentence and its return
// the bass sinks by semitones from D to A; under the third it climbs by semitones from F to C.
constexpr std::string_view kLanternMelody = R"(
  a4:1 | f5:2 e5:1/2 d5 | g5:2 f5:1/2 e5 | d5:2 a4:1 | g5:2 f5:1/2 d5 | e5:2 d5:1 | c#5:2
  d5:1/2 e5 | f5:2 e5:1/2 d5 | bb4:2 bb4:1 | g5:2 f5:1/2 e5 | c5:2 c5:1 | a5:2 g5:1/2 e5 | f5:2
  f4:1/2 a4 | c5:2 a4:1/2 c5 | d5:2 g4:1/2 bb4 | d5:2 bb4:1/2 d5 | e5:2 c5:1/2 e5 |
  [d5 g5]:2 g5:1/2 a5 | [g5 bb5]:2 a5:1/2 g5 | [a4 f5]:2 e5:1/2 d5 | bb4:2 a4:1 | g4:2
  g4:1/2 bb4 | c#5:2 c#5:1/2 d5 | e5:2 e5:1/2 f5 | g5:2
  a4:1 | f5:2 e5:1/2 d5 | g5:2 f5:1/2 e5 | d5:2 a4:1 | g5:2 f5:1/2 d5 | e5:2 d5:1 | c#5:2
  d5:1/2 e5 | f5:2 e5:1/2 d5 | bb4:2 a4:1 | d5:2 e5:1/2 d5 | c#5:2 d5:1 | bb4:2 a4:1 | f#4:2)";
constexpr std::string_view kLanternBass = R"(
  r:1 | d3:3 | c#3 | c3 | b2 | bb2 | a2:1 r:2 |
  d3:3 | g2 | e3 | f3 | bb2:2 c3:1 | f2:3 |
  f2:1 r:2 | f#2:1 r:2 | g2:1 r:2 | g#2:1 r a2 | bb2 r:2 | c3:1 r:2 |
  d3:1 r:2 | g2:1 r:2 | bb2:3 | a2:1 r:2 | a2:1 r:2 | a2:3 |
  d3:3 | c#3 | c3 | b2 | bb2 | a2:1 r:2 |
  d3:3 | g2 | a2 | a2 | d2:1/2 r:5/2 | d2:1/2 r:3/2)";
constexpr std::string_view kLanternInner = R"(
  r:1 | r:1/2 a3 d4 f4 d4 a3 | r e3 a3 e4 a3 e3 | r f3 a3 d4 a3 f3 | r d3 g3 d4 g3 d3 |
  r e3 g3 d4 g3 e3 | r e3 a3 e4 a3 g3 | r f3 a3 d4 a3 f3 | r d3 g3 bb3 g3 d3 |
  r g3 bb3 c4 bb3 g3 | r a3 c4 f4 c4 a3 | r f3 bb3 d4 bb3 g3 | r c3 f3 a3 f3 c3 |
  r c3 a3 c4 a3 c3 | r d3 a3 c4 a3 d3 | r d3 g3 bb3 g3 d3 | r e3 b3 d4 c4 a3 |
  r g3 d4 f4 d4 g3 | r g3 c4 e4 c4 g3 | r f3 a3 d4 f4 d4 | r d3 g3 bb3 d4 bb3 |
  r g3 d4 g3 d4 g3 | r e3 a3 e4 a3 e3 | r g3 bb3 d4 bb3 g3 | r e3 a3 c#4 a3 e3 |
  r a3 d4 f4 d4 a3 | r e3 a3 e4 a3 e3 | r f3 a3 d4 a3 f3 | r d3 g3 d4 g3 d3 |
  r e3 g3 d4 g3 e3 | r e3 a3 e4 a3 g3 | r f3 a3 d4 a3 f3 | r d3 g3 bb3 g3 d3 |
  r d3 f3 a3 f3 d3 | r e3 g3 a3 g3 e3 | r d3 g3 d4 g3 d3 | r a2 [d3 a3]:1)";
constexpr std::string_view kLanternPedal = R"(
  r:1 | p:3 | p | p | p | p | p | p | p | p | p | p:2 p:1 | p:3 |
  p | p | p | p:2 p:1 | p:3 | p | p | p | p | p | p | p |
  p | p | p | p | p | p | p | p | p | p | p | p:2)";

// A minor. The line that one hears lies on the beats; a motif is the seven sixteenths that lead to
// the next downbeat, and that downbeat.
constexpr std::string_view kFerryRight = R"(
  r:1/4 a4 c5 a4 e5 c5 d5 e5 | f5 d5 b4 a4 d5 b4 c5 d5 | e5 d5 b4 g#4 d5 b4 g#4 b4 |
  c5 a4 e4 a4 c5 b4 c5 d5 | e5 c5 a4 c5 e5 c5 e5 g5 | a5 f5 c5 a4 f5 c5 f5 g5 |
  a5 d#5 a4 d#5 f5 d#5 f5 a5 | g#5 e5 b4 g#4 e5 b4 e5 f5 |
  g5 e5 c5 g4 e5 c5 b4 c5 | d5 b4 g4 b4 g5 d5 b4 d5 | c5 a4 e4 a4 e5 c5 a4 c5 |
  b4 g4 e4 g4 e5 b4 g4 b4 | a4 f4 c4 f4 c5 a4 f4 a4 | g4 e4 c4 e4 c5 g4 e4 g4 |
  a4 f4 d4 f4 d5 a4 f4 a4 | b4 g4 d4 g4 f5 d5 b4 d5 |
  e5 c5 bb4 c5 g5 e5 c5 e5 | f5 c5 a4 c5 a5 f5 c5 f5 | f#5 d5 c5 d5 a5 f#5 d5 f#5 |
  g5 d5 b4 d5 b5 g5 d5 g5 | g#5 e5 d5 e5 b5 g#5 e5 g#5 | a5 e5 c5 e5 c6 a5 e5 a5 |
  c6 a5 f#5 d#5 a5 f#5 a5 c6 | b5 g#5 e5 g#5 b5 g#5 f#5 g#5 |
  a5 a4 c5 a4 e5 c5 d5 e5 | f5 d5 b4 a4 d5 b4 c5 d5 | e5 d5 b4 g#4 d5 b4 g#4 b4 |
  c5 a4 e4 a4 c5 b4 c5 d5 | e5 c5 a4 c5 e5 c5 d5 e5 | f5 d5 bb4 d5 f5 d5 f5 bb5 |
  a5 e5 c5 e5 c6 a5 e5 a5 | g#5 e5 d5 e5 b5 g#5 e5 g#5 | [c5 e5 a5]:2)";
constexpr std::string_view kFerryLeft = R"(
  r:1/2 [e3 a3 c4] a2 [e3 a3 c4] | b2 [f3 a3 d4] d3 [f3 a3 b3] | g#2 [e3 b3 d4] e3 [e3 b3 d4] |
  a2 [e3 a3 c4] e2 [e3 a3 c4] | c3 [e3 a3 c4] a2 [e3 a3 c4] | f2 [f3 a3 c4] c3 [f3 a3 c4] |
  f2 [f3 a3] f2 [f3 a3] | e2 [e3 b3] e2 [e3 b3] |
  c3 [g3 c4 e4] g2 [g3 c4 e4] | b2 [g3 d4] g2 [g3 d4] | a2 [e3 a3 c4] e2 [e3 a3 c4] |
  g2 [e3 b3] e2 [e3 g3 b3] | f2 [c3 f3 a3] c3 [f3 a3] | e2 [c3 g3] c3 [e3 g3] |
  d3 [f3 a3 c4] a2 [f3 a3 c4] | g2 [f3 g3 b3] d3 [f3 g3 b3] |
  c3 [e3 g3 bb3] c3 [e3 g3 bb3] | a2 [f3 c4] f2 [f3 a3 c4] | d3 [a3 c4 d4] a2 [a3 c4 d4] |
  b2 [g3 d4] g2 [g3 b3 d4] | e2 [b3 d4 e4] e3 [b3 d4 e4] | c3 [a3 c4 e4] a2 [a3 c4 e4] |
  [a1 a2] [f#3 c4 d#4] a2 [f#3 c4 d#4] | [e2 e3] [b3 e4] [e2 e3] [b3 d4] |
  a2 [e3 a3 c4] a2 [e3 a3 c4] | b2 [f3 a3 d4] d3 [f3 a3 b3] | g#2 [e3 b3 d4] e3 [e3 b3 d4] |
  a2 [e3 a3 c4] e2 [e3 a3 c4] | c3 [e3 a3] a2 [e3 a3 c4] | d3 [f3 bb3] bb2 [f3 bb3 d4] |
  [e2 e3] [a3 c4] [e2 e3] [a3 c4] | [e2 e3] [b3 d4] [e2 e3] [b3 d4] | [a2 e3 a3]:1 [a1 a2])";

// G major. The left hand answers two bars later, an octave lower, and strictly until bar 12; in the
// minor it takes the new strains up in their turn, and at the end the first one again.
constexpr std::string_view kMillRight = R"(
  d5:1/2 | b4:1 d5:1/2 e5:1 d5:1/2 | c5:1 b4:1/2 a4:1 d5:1/2 |
  g5:1 f#5:1/2 g5:1 f#5:1/2 | e5:1 g5:1/2 f#5:1 g5:1/2 |
  d5 c5 b4 e5:1 d5:1/2 | c5 d5 e5 a4:1 c5:1/2 |
  b4:3/2 g5:1 f#5:1/2 | e5:3/2 f#5:1 d5:1/2 |
  g5:1 d5:1/2 e5:1 d5:1/2 | c5:1 b4:1/2 a4:1 d5:1/2 |
  [d5 g5]:1 [a4 f#5]:1/2 [b4 g5]:1 [a4 f#5]:1/2 | [a4 e5]:1 [d5 g5]:1/2 [d5 f#5]:1 b4:1/2 |
  b4:1 d5:1/2 e5:1 d5:1/2 | c5:1 e5:1/2 d#5:1 e5:1/2 |
  g5:1 f#5:1/2 g5:1 a5:1/2 | a5:1 g5:1/2 b5:1 b5:1/2 |
  b5:1 a5:1/2 b5:1 b5:1/2 | c6:5/2 b5:1/2 |
  g5:1 d5:1/2 e5:1 d5:1/2 | c5:1 b4:1/2 a4:1 d5:1/2 |
  g5:1 f#5:1/2 g5:1 f#5:1/2 | e5:1 g5:1/2 f#5:1 g5:1/2 |
  d5:1 c5:1/2 b4:1 a4:1/2 | g4:5/2)";
constexpr std::string_view kMillLeft = R"(
  r:1/2 | r:3 | r:5/2 d4:1/2 |
  b3:1 d4:1/2 e4:1 d4:1/2 | c4:1 b3:1/2 a3:1 d4:1/2 |
  g4:1 f#4:1/2 g4:1 f#4:1/2 | e4:1 g4:1/2 f#4:1 g4:1/2 |
  d4 c4 b3 e4:1 d4:1/2 | c4 d4 e4 a3:1 c4:1/2 |
  b3:3/2 g4:1 f#4:1/2 | e4:3/2 f#4:1 d4:1/2 |
  b3:1 d4:1/2 e4:1 d4:1/2 | c4:1 b3:1/2 a3:1 d4:1/2 |
  g4:1 f#4:1/2 g4:1 f#4:1/2 | e4:1 g4:1/2 f#4:1 b3:1/2 |
  b3:1 d4:1/2 e4:1 d4:1/2 | c4:1 e4:1/2 d#4:1 e4:1/2 |
  [g3 g4]:1 [f#3 f#4]:1/2 [g3 g4]:1 [g3 g4]:1/2 | [a3 a4]:1 [g3 g4]:1/2 [f#3 f#4]:1 d4:1/2 |
  b3:3/2 g4:1 f#4:1/2 | e4:3/2 f#4:1 d4:1/2 |
  b3:1 d4:1/2 e4:1 d4:1/2 | c4:1 b3:1/2 a3:1 b3:1/2 |
  b3:1 a3:1/2 g3:1 d3:1/2 | [g2 d3 b3]:5/2)";

}  // namespace

Piece lantern_song() {
  return {"lantern-song.mid",
          "Lantern Song",
          80,
          {3, 4, 1},
          {{0, -1, true}, {13, -1, false}, {22, -1, true}},
          {kLanternMelody},
          {kLanternBass, kLanternInner},
          kLanternPedal};
}

Piece ferry_study() {
  return {"ferry-study.mid", "Ferry Study", 116,          {2, 4, 0},
          {{0, 0, true}},    {kFerryRight}, {kFerryLeft}, ""};
}

Piece mill_round() {
  return {"mill-round.mid", "Mill Round", 90,          {6, 8, 1},
          {{0, 1, false}},  {kMillRight}, {kMillLeft}, ""};
}

}  // namespace arsis
