// Between the thread that plays and the one that gives commands: a player, a box for commands, and
// what is told of how it goes. Private to live.cc and its tests.
#pragma once

#include <array>
#include <atomic>
#include <memory>
#include <mutex>
#include <vector>

#include "sound/live.h"
#include "sound/player.h"

namespace arsis {

struct LiveCommand {
  enum class Kind : std::uint8_t { kPause, kResume, kGoTo, kChange, kBegin, kSilence };
  Kind kind = Kind::kPause;
  Beats moment = {};
  std::vector<std::vector<std::uint8_t>> restore = {};
  std::shared_ptr<const Rendition> rendition = {};
  std::unique_ptr<Player> player = {};  // of kBegin: made by the commanding thread, with its memory
};

class LiveDesk {
 public:
  LiveDesk(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings);

  // Commands wait here until the playing thread has time. [commanding thread]
  void post(LiveCommand command);
  std::shared_ptr<const Rendition> rendition() const { return rendition_; }

  // Does what was posted, then lets time pass. Never waits for the commanding thread, and frees no
  // memory that it handed over. [playing thread]
  //   aimed  how long after its moment a message is meant to be sent, for report(); what begins
  //   with
  //          this turn is let so much time pass
  void turn(Seconds by, Seconds aimed, const Player::Send& send);
  Seconds until_next() const { return player_.until_next(); }
  bool all_sent() const { return player_.done(); }
  Decibels gain() const { return player_.gain(); }

  // As if all that was posted were obeyed already, so that the next key builds on the one before.
  // [commanding thread]
  LiveState state() const;
  // [any thread]
  LiveReport report() const;
  void set_died_away() { died_away_ = true; }
  // After kSilence nothing is played any more.
  bool silenced() const { return silenced_; }

 private:
  // How far from their moment messages are, in steps of 0.05 ms.
  static constexpr Seconds kStep{0.00005};
  static constexpr std::size_t kSteps = 2000;

  // False where the commanding thread is at the box just now. [playing thread]
  bool take_posted();
  bool hand_back();
  void note_wanted(const LiveCommand& command);
  void obey(LiveCommand& command, const Player::Send& send);
  void count(std::span<const std::uint8_t> message, Seconds off);

  std::shared_ptr<const Rendition> rendition_;  // of the commanding thread
  Player player_;
  Seconds played_{0.0};

  // Of the commanding thread: what it asked for last, and how many commands it had posted then.
  struct Wanted {
    LiveState state;
    std::uint64_t begin_number = 0;
    std::uint64_t at_number = 0;
    std::uint64_t paused_number = 0;
  };
  Wanted wanted_;
  std::uint64_t posted_number_ = 0;
  std::atomic<std::uint64_t> obeyed_number_ = 0;

  std::mutex box_;
  std::vector<LiveCommand> posted_;
  std::vector<LiveCommand> obeying_;  // of the playing thread alone
  std::vector<LiveCommand> obeyed_;   // freed with the next post()

  std::atomic<double> at_ = 0.0;
  std::atomic<int> round_ = 1;
  std::atomic<bool> paused_ = false;
  std::atomic<bool> all_sent_ = false;
  std::atomic<bool> died_away_ = false;
  std::atomic<bool> silenced_ = false;
  std::atomic<double> first_note_ = -1.0;
  std::atomic<std::uint64_t> messages_ = 0;
  std::array<std::atomic<std::uint32_t>, kSteps> late_{};
};

}  // namespace arsis
