// What a person at the keys does to readings that are played one after the other, and sees of them.
#pragma once

#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "sound/live.h"
#include "tool/heard_readings.h"
#include "tool/terminal.h"

namespace arsis {

class AuditionSession {
 public:
  // The audition must outlive it.
  //   gains   one for each reading, for a synthesizer
  //   plan    the plan's file, for what is kept
  //   once    leave off after the last reading, where nobody is at the keys
  AuditionSession(const Audition& audition, std::vector<Decibels> gains, std::string plan,
                  bool once);

  // The reading that sounds, ready to play from the passage's beginning.
  std::shared_ptr<const Rendition> rendition();
  PlayerSettings settings() const { return settings_; }

  // Does what the key means; false: to leave off.
  //   1 to 9           that reading, from the passage's beginning
  //   arrows, p and n  the reading before or after, likewise
  //   h                the next reading, here: at the same note
  //   blank, Enter     pause, go on
  //   r                this one again and again, or all in turn
  //   k                keep this one: the plan says it from now on
  //   q                leave off
  bool press(KeyPress key, LivePlayback& playback, Terminal& terminal);
  // Goes on to the next reading a moment after one has ended. False: all have been heard.
  bool follow(const LiveState& state, LivePlayback& playback);
  // "2 of 3  motif 1 leads  bar 3:2  paused  again and again": what a narrow terminal cuts off is
  // what matters least.
  std::string status(const LiveState& state) const;
  // Which readings there are, a line each.
  std::string list() const;
  // The same, then the keys.
  std::string help() const;

 private:
  const HeardReading& heard() const { return readings_[now_]; }
  std::shared_ptr<const Rendition> made(std::size_t reading);
  void begin(std::size_t reading, LivePlayback& playback);
  void change_here(LivePlayback& playback);
  void keep(Terminal& terminal);

  const Audition& audition_;
  std::vector<HeardReading> readings_;  // what is the plan's own changes as one is kept
  std::vector<Decibels> gains_;
  std::vector<std::shared_ptr<const Rendition>> made_;  // as they are asked for
  std::string plan_;
  PlayerSettings settings_;
  Beats moved_;
  std::size_t now_ = 0;
  bool once_;
  bool again_ = false;
  std::optional<std::chrono::steady_clock::time_point> ended_;  // what sounded last
};

}  // namespace arsis
