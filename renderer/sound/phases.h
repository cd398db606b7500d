// Which of several synthesizers plays which note. A synthesizer begins notes at blocks of 64 frames
// only (1.3 ms at 48 kHz). Several whose blocks begin at different moments divide a block between
// them, and each note goes to the one whose block begins nearest to its time.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "sound/timeline.h"

namespace arsis {

inline constexpr std::uint8_t kEverySynthesizer = 0xFF;

// A moment as a synthesizer counts it: `lead` frames of it lie before time 0.
//   lead    frames, 0 to kBlock - 1
//   result  the first frame of the block in which a note is heard nearest to the moment: a multiple
//           of kBlock
std::uint64_t block_begin(Seconds at, int sample_rate, int lead);

// For each message the synthesizer that it goes to, or kEverySynthesizer. Beginnings of notes go to
// the synthesizer whose block begins nearest, of equally near ones to that with the fewest notes so
// far; ends of notes follow their beginnings; all else goes to every one.
//
// Notes that act on one another stay together: the drums that cut one another off (on channel 10:
// open and closed hi-hat and the like), and all notes of a channel that is anywhere told to glide,
// to play legato or one note at a time.
//   messages  in order of time, no two notes of one key and channel overlapping
//   leads     one of each synthesizer, at least one, at most 64
std::vector<std::uint8_t> recipients(std::span<const TimedMessage> messages, int sample_rate,
                                     std::span<const int> leads);

}  // namespace arsis
