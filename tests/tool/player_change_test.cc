// Layers switched while it plays: every note is struck once and ends once.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <map>
#include <memory>
#include <set>
#include <vector>

#include "property.h"
#include "shape/perform.h"
#include "shape/random_music.h"
#include "sound/player.h"

namespace arsis {
namespace {

// What a listener hears of keys.
class Keys {
 public:
  void hear(std::span<const std::uint8_t> message) {
    if ((message[0] & 0xE0) != 0x80) return;
    const int key = (message[0] & 0x0F) * 128 + message[1];
    if ((message[0] & 0xF0) == 0x90) {
      RC_ASSERT(down_.insert(key).second);  // not struck while it is down
      ++strikes_[key];
    } else {
      RC_ASSERT(down_.erase(key) == 1);  // not let go while it is up
    }
  }
  const std::set<int>& down() const { return down_; }
  const std::map<int, int>& strikes() const { return strikes_; }

 private:
  std::set<int> down_;
  std::map<int, int> strikes_;
};

// Each moment of the score strikes a key once, whichever hands meet there.
std::map<int, int> strikes_of(const Score& score) {
  std::set<std::pair<int, Beats>> moments;
  for (const Note& note : score.notes) {
    moments.insert({score.parts[note.part].channel * 128 + note.key, note.onset});
  }
  std::map<int, int> strikes;
  for (const auto& [key, at] : moments) ++strikes[key];
  return strikes;
}

// Music whose hands may meet on one channel.
test::Music music_for_two_hands() {
  test::Music music = test::random_music({.most_bars = 8});
  if (test::any(0, 2) == 0) {
    music.score.parts[1].channel = 0;
    for (Note& note : music.score.notes) {
      if (note.part == 1) note.key = static_cast<std::uint8_t>(note.key + 24);
    }
  }
  return music;
}

std::shared_ptr<const Rendition> random_rendition(const test::Music& music) {
  return rendition_of(music.score,
                      perform(music.score, music.bound, test::random_layers()).performance);
}

void play_with_changes(const test::Music& music) {
  auto rendition = random_rendition(music);
  Player player(rendition, {.entry = {0.0}, .end = music.score.end(), .breath = {1.0}});
  Keys keys;
  const Player::Send send = [&](std::span<const std::uint8_t> message, Seconds late) {
    RC_ASSERT(late.value >= 0.0);
    keys.hear(message);
  };
  for (int changes = test::any(1, 8); changes > 0; --changes) {
    const double most = rendition->end.value / 3.0;
    player.run({most * test::any(0, 1000) / 1000.0}, send);
    rendition = random_rendition(music);
    auto handed_over = rendition;
    player.change(handed_over);
  }
  // To just before the end: what is down then is meant to be.
  const Seconds last = rendition->end - Seconds{1e-6};
  const Seconds now = rendition->performance.time.seconds_at(player.at());
  if (!player.done() && now < last) {
    player.run(last - now, send);
    std::set<int> lasting;
    for (const TimedMessage& message : rendition->messages) {
      if (message.at < last || !message.is_note()) continue;
      lasting.insert((message.bytes[0] & 0x0F) * 128 + message.bytes[1]);
    }
    RC_ASSERT(std::ranges::includes(lasting, keys.down()));
  }
  player.run({1.0}, send);
  RC_ASSERT(player.done());
  RC_ASSERT(keys.down().empty());
  RC_ASSERT(keys.strikes() == strikes_of(music.score));
}

TEST(PlayerChange, StrikesAndEndsEveryNoteOnceWheneverLayersAreSwitched) {
  EXPECT_TRUE(test::holds(1'000, [] { play_with_changes(music_for_two_hands()); }));
}

}  // namespace
}  // namespace arsis
