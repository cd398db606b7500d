// What a listening page's script is told of the music, as JSON.
#pragma once

#include <span>
#include <string>

#include "page/listening_page.h"
#include "plan/binding.h"
#include "score/score.h"
#include "score/time_map.h"

namespace arsis {

// How a voice of the page goes through the score.
struct VoiceTime {
  std::string label;  // any bytes
  TimeMap time;       // of the excerpt's beats
  Beats moved;        // added to a beat of the score gives that of the excerpt
  Seconds length;     // of its sound
};

struct ListeningMusic {
  const Score& score;
  const BoundPlan& plan;
  std::span<const VoiceTime> voices;
  std::span<const DrawnSystem> wide;
  std::span<const DrawnSystem> narrow;
  int sample_rate = 0;  // frames a second
};

// As ListeningPage::data has it. Blocks are those that overlap what is drawn, sentences first, each
// followed by what it holds.
std::string listening_data(const ListeningMusic& music);

// "phrase 2.1, bars 5 to 8, motif 2 leads", for those who hear the page read out.
std::string spoken_name(const Score& score, const BoundPlan& plan, Level level, std::size_t index);

}  // namespace arsis
