// The listening page: one HTML file with the drawn systems, the sound and the player inside. It
// asks nothing of a network and works from the disk.
//
// What the page's script finds in it (listening/page.js):
//   #data               JSON, see ListeningPage::data
//   .sound              for each voice its Opus file in base64, in the order of the voices
//   .systems.wide, .systems.narrow    the same music drawn for a screen and for a phone, one
//   .system
//                       around each <svg>
//   #play #loop #speed #volume #status, input[name=voice]    what it is used with
#pragma once

#include <span>
#include <string>
#include <vector>

#include "base/files.h"
#include "page/system.h"

namespace arsis {

struct ListeningVoice {
  std::string label;  // "shaped", "motif alone", the name of a reading: any bytes
  Bytes opus;         // an Ogg Opus file
};

struct ListeningPage {
  std::string title;     // any bytes
  std::string subtitle;  // any bytes; empty: none
  std::vector<ListeningVoice> voices;
  std::size_t voice = 0;  // that is chosen at first
  std::span<const DrawnSystem> wide;
  std::span<const DrawnSystem> narrow;
  // JSON: {sampleRate, begin (beat), voices: [{label, map: [second, beat, ...], length}],
  //   blocks: [{name, level, label, begin, end, breath}], systems: {wide: [...], narrow: [...]} of
  //   {begin, end, width, ways: [beat, x, ...]}}; beats are those of the score.
  std::string data;
};

// The whole file. Everything in it that is not ours is escaped, and a Content-Security-Policy lets
// nothing but the page's own script run.
std::string listening_page(const ListeningPage& page);

}  // namespace arsis
