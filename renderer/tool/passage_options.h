// The words that say what of a piece is to be heard: which blocks or bars, which parts, how fast,
// with what in front. The same for every command that sounds.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "score/excerpt.h"
#include "shape/layers.h"
#include "shape/perform.h"
#include "tool/load.h"

namespace CLI {
class App;
}

namespace arsis {

struct PassageOptions {
  std::string sentence;
  std::string phrase;
  std::string motif;
  std::string from;
  std::string to;
  std::string tempo = "100%";
  std::vector<std::string> part;
  std::vector<std::string> mute;
  bool keep_muted = false;
  std::string count_in = "0";
  bool click = false;
  std::string voice = "score";
};

// Who plays: the score's parts, or the melody alone on a sustaining voice.
enum class Voice : std::uint8_t { kScore, kChoir, kStrings };

struct Passage {
  ExcerptRequest excerpt;
  double speed = 1.0;  // ratio to the score's tempo, 0.1..4
  Voice voice = Voice::kScore;
  bool whole = true;  // nothing is cut, left out or added
};

// Those that say which blocks or bars, and no others: for commands without sound.
void add_span_options(CLI::App& command, PassageOptions& options);
void add_passage_options(CLI::App& command, PassageOptions& options);

// Errors are those of the command line: a block, bar or part that the plan and its score lack.
// Warning: nothing is heard in the passage.
Result<Passage> passage_of(const PassageOptions& options, const Loaded& loaded);

// The passage as it is performed under these layers, whose parts are the passage's. `loaded.score`
// has the passage's speed already (with_speed()). A sung melody follows the law, whatever the
// instrument: its levels are in an expression controller.
Excerpt perform_passage(const Loaded& loaded, const Passage& passage, Layers layers,
                        const Instrument& instrument);

}  // namespace arsis
