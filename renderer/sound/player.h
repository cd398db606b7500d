// Plays a performance message by message as time goes on, and does meanwhile what a person at the
// keys asks for: pause, go elsewhere, go round again, change the shaping. No clock and no device of
// its own: whoever has them says how much time has passed.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "score/key_rows.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/timeline.h"

namespace arsis {

// A performance ready to be played.
struct Rendition {
  Score score;
  Performance performance;
  std::vector<TimedMessage> messages;  // timeline() of both
  Seconds end;                         // of the last of them
  Decibels gain{0.0};                  // of a synthesizer's sound; a port has none
};
std::shared_ptr<const Rendition> rendition_of(Score score, Performance performance,
                                              Decibels gain = {0.0});

// What restores the channels before playing on at a moment, as bytes ready to send.
std::vector<std::vector<std::uint8_t>> restoring(const Score& score, Beats moment);

struct PlayerSettings {
  Beats entry;        // where a round after the first begins (what is counted in lies before)
  Beats end;          // where a round ends
  bool loop = false;  // round after round
  Seconds breath;     // between two rounds, above 0
};

class Player {
 public:
  // `late`: how long after its due moment a message is sent.
  using Send = std::function<void(std::span<const std::uint8_t> message, Seconds late)>;

  Player(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings);

  // Lets time pass, and sends what falls due within it, its end included.
  void run(Seconds by, const Send& send);
  // Until the next message; beyond every piece while paused or done.
  Seconds until_next() const;
  bool done() const { return done_; }  // never with loop
  bool paused() const { return paused_; }
  Beats at() const;                     // where the music is
  int round() const { return round_; }  // from 1
  Decibels gain() const { return rendition_->gain; }

  // Exchanges the rendition for another performance of the same score, at the same beat. What
  // sounds goes on, and ends when the new one says; no note is struck twice or left out, and where
  // one note sounds for another of its key (PerformedNote::sounds), in one performance or in both,
  // the key is struck once for the two. The old one is left in `rendition`, so that it can be freed
  // where there is time for that.
  void change(std::shared_ptr<const Rendition>& rendition);
  // Ends what sounds, and goes on from the moment (from done, too), a round's end at the latest.
  // `restore` brings the channels to it.
  void go_to(Beats moment, std::span<const std::vector<std::uint8_t>> restore, const Send& send);
  void pause(const Send& send);
  // Notes that were cut by the pause stay cut.
  void resume(std::span<const std::vector<std::uint8_t>> restore, const Send& send);
  // Ends every sounding note, lifts the pedals of every channel and tells all of them that no note
  // is on (MIDI 1.0: controllers 64, 66 and 123).
  void silence(const Send& send);
  // The same, and resets every channel's controllers: for a player of another piece to begin.
  void give_way(const Send& send);

 private:
  std::size_t event_of(const TimedMessage& message) const;
  void play(const TimedMessage& message, const Send& send, Seconds late);
  // After a change of performances, `old` having been played until `then`.
  void inherit(const Performance& old, Seconds then);
  std::uint32_t sounding_for(std::uint32_t note) const;
  void restore_and_mark(Beats moment, std::span<const std::vector<std::uint8_t>> restore,
                        const Send& send);
  Seconds round_end() const;

  std::shared_ptr<const Rendition> rendition_;
  PlayerSettings settings_;
  std::vector<std::vector<std::uint8_t>> entry_state_;
  std::vector<bool> played_;  // by event: beginnings and ends of notes, then messages
  std::array<std::uint32_t, kChannelKeys> held_{};  // the note that holds each key, plus 1; 0: none
  std::size_t next_ = 0;                            // in the rendition's messages
  Seconds now_{0.0};
  int round_ = 1;
  bool paused_ = false;
  bool done_ = false;
};

}  // namespace arsis
