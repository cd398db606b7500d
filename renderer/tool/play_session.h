// What a person at the keys does to a playing piece, and what they see of it.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "sound/live.h"
#include "tool/load.h"
#include "tool/passage_options.h"
#include "tool/terminal.h"

namespace arsis {

class PlaySession {
 public:
  // All must outlive it. `layers` are those at the beginning.
  PlaySession(const Loaded& loaded, const Passage& passage, const Layers& layers,
              const Instrument& instrument);

  // The passage under the layers of the moment, ready to play.
  std::shared_ptr<const Rendition> rendition() const;
  PlayerSettings settings(bool loop) const;

  // Does what the key means; false: to leave off.
  //   blank      pause, go on
  //   arrows     to the block before or after: phrases, or motifs where the passage is one phrase
  //   m p s w    the layers of motif, phrase, sentence and whole piece on or off
  //   f          flat, shaped
  //   q          leave off
  bool press(KeyPress key, LivePlayback& playback, Terminal& terminal);
  // False: everything has been played.
  bool follow(const LiveState& state, LivePlayback&) const { return !state.done; }
  // "  9:3  [######....]  paused  no motif  round 2  sentence 2  phrase 2.1  motif 2.1.1": what a
  // narrow terminal cuts off is what matters least.
  std::string status(const LiveState& state) const;

  static std::string help();

 private:
  Beats in_score(Beats in_excerpt) const { return in_excerpt - excerpt_.moved; }
  std::string place_text(Beats at) const;
  std::string layers_text() const;
  std::string blocks_text(Beats at) const;
  void step(bool forward, LivePlayback& playback);
  void change(LivePlayback& playback);

  const Loaded& loaded_;
  const Passage& passage_;
  const Instrument& instrument_;
  Layers layers_;
  double shaped_amount_;      // ratio: what `f` goes back to
  Excerpt excerpt_;           // for its moments; its performance is that of the beginning
  std::vector<Beats> stops_;  // moments of the score that the arrows go to
};

}  // namespace arsis
