// A short piece with its plan in a folder, and the same performances of it that the program plays,
// made by the library.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "live/jack.h"
#include "live/process.h"
#include "sound/player.h"
#include "tool/layer_options.h"
#include "tool/passage_options.h"
#include "tool/run_arsis.h"

namespace arsis::test {

// Eight bars of 4/4 at 240 quarters a minute, a second each, in two sentences of two phrases of two
// motifs of a bar. The right hand (channel 1) plays 64 eighths and sets its program at the
// beginning and in bar 3; there the pedal goes down, and up in bar 6. The left hand (channel 2) has
// 32 quarters.
struct Bench : Folder {
  Bench();

  // What `play` plays with the like words.
  std::shared_ptr<const Rendition> rendition(const PassageOptions& passage = {},
                                             const LayerOptions& layers = {}) const;
  // `arsis VERB plan.yaml WORDS`, at a server.
  Command run(const std::string& verb, const JackServer& server, std::vector<std::string> words,
              int columns = 0) const;
  // The same for `play`.
  Command play(const JackServer& server, std::vector<std::string> words, int columns = 0) const;
};

// The program as it was built.
std::string program();

// The beginnings of notes in a rendition, in order of time.
std::vector<TimedMessage> ons_of(const Rendition& rendition);

}  // namespace arsis::test
