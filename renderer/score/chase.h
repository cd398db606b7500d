// What must be sent before a score is begun in its middle: the programs, controllers, pedals and
// bends that its opening has set.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "score/score.h"

namespace arsis {

// A message to be sent at once: one of the score's, or one made of two of its values.
struct ChasedMessage {
  std::uint16_t track = 0;    // of the score's tracks
  std::uint8_t size = 0;      // of `bytes`; 0: the score's own message
  std::uint32_t message = 0;  // index into Score::messages, where size is 0
  std::array<std::uint8_t, 3> bytes{};
};

// The state of every channel just before `moment`, as messages in an order that restores it:
//   - system-exclusives, in the score's order; one that resets the instrument (General MIDI 1 or 2
//     System On, as in the MIDI 1.0 addenda RP-003 and RP-024) drops all that came before it
//   - names, copyright, instrument and port of the tracks (meta events 02, 03, 04, 09 and 21) and
//     the key signature; lyrics, markers, text and time signatures are left behind
//   - for each channel its bank and program, registered and non-registered parameters, other
//     controllers (the pedals among them), pitch bend and pressure, each as last set; a Reset All
//     Controllers resets what MIDI's Recommended Practice RP-015 says
// Messages at `moment` itself are not among them.
std::vector<ChasedMessage> chased(const Score& score, Beats moment);

}  // namespace arsis
