#include "sound/player.h"

#include <algorithm>
#include <cassert>

#include "score/chase.h"
#include "sound/silence.h"

namespace arsis {
namespace {

constexpr Seconds kNever{1e9};
// What a new beginning must not inherit, before the rest is restored: MIDI 1.0, Reset All
// Controllers.
constexpr std::uint8_t kResetControllers = 121;

std::array<std::uint8_t, 3> key_up(std::size_t channel_key) {
  return {static_cast<std::uint8_t>(0x80 | channel_key / 128),
          static_cast<std::uint8_t>(channel_key % 128), 0};
}

std::array<std::uint8_t, 3> controller(std::size_t channel, std::uint8_t number) {
  return {static_cast<std::uint8_t>(0xB0 | channel), number, 0};
}

void reset_controllers(const Player::Send& send) {
  for (std::size_t channel = 0; channel < 16; ++channel) {
    send(controller(channel, kResetControllers), {});
  }
}

}  // namespace

std::shared_ptr<const Rendition> rendition_of(Score score, Performance performance, Decibels gain) {
  auto made = std::make_shared<Rendition>();
  made->messages = timeline(score, performance);
  made->end = made->messages.empty() ? Seconds{0.0} : made->messages.back().at;
  made->score = std::move(score);
  made->performance = std::move(performance);
  made->gain = gain;
  return made;
}

std::vector<std::vector<std::uint8_t>> restoring(const Score& score, Beats moment) {
  std::vector<std::vector<std::uint8_t>> messages;
  for (const ChasedMessage& chased : chased(score, moment)) {
    const auto bytes = chased.size == 0 ? score.bytes_of(score.messages[chased.message])
                                        : std::span(chased.bytes).first(chased.size);
    if (!bytes.empty() && bytes[0] < 0xF1) messages.emplace_back(bytes.begin(), bytes.end());
  }
  return messages;
}

Player::Player(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings)
    : rendition_(std::move(rendition)),
      settings_(settings),
      played_(rendition_->score.notes.size() * 2 + rendition_->score.messages.size()) {
  assert(settings.breath.value > 0.0);
  if (settings_.loop) entry_state_ = restoring(rendition_->score, settings_.entry);
}

std::size_t Player::event_of(const TimedMessage& message) const {
  if (message.is_note()) return message.place * std::size_t{2} + (message.is_on() ? 0 : 1);
  return rendition_->score.notes.size() * 2 + message.place;
}

void Player::play(const TimedMessage& message, const Send& send, Seconds late) {
  const std::size_t event = event_of(message);
  if (played_[event]) return;
  played_[event] = true;
  if (message.is_note()) {
    const std::size_t key = (message.bytes[0] & 0x0F) * std::size_t{128} + message.bytes[1];
    std::uint32_t& held = held_[key];
    if (message.is_on()) {
      if (held != 0) send(key_up(key), late);  // an instrument has a key once
      held = message.place + 1;
    } else {
      if (held != message.place + 1) return;  // cut by a pause, or by another note of the key
      held = 0;
    }
  }
  send(bytes_of(message, rendition_->score), late);
}

Seconds Player::round_end() const {
  if (!settings_.loop) return rendition_->end;
  const Seconds end = rendition_->performance.time.seconds_at(settings_.end);
  return std::max(end, rendition_->end) + settings_.breath;
}

void Player::run(Seconds by, const Send& send) {
  if (paused_ || done_) return;
  Seconds limit = now_ + by;
  while (true) {
    const std::vector<TimedMessage>& messages = rendition_->messages;
    for (; next_ < messages.size() && messages[next_].at <= limit; ++next_) {
      play(messages[next_], send, limit - messages[next_].at);
    }
    if (limit < round_end()) break;
    if (!settings_.loop) {
      done_ = true;
      silence(send);  // the score may leave its pedal down
      break;
    }
    const Seconds beyond = limit - round_end();
    ++round_;
    silence(send);
    restore_and_mark(settings_.entry, entry_state_, send);
    limit = now_ + beyond;
  }
  now_ = limit;
}

Seconds Player::until_next() const {
  if (paused_ || done_) return kNever;
  const std::vector<TimedMessage>& messages = rendition_->messages;
  const Seconds due = next_ < messages.size() ? messages[next_].at : round_end();
  return std::max(due - now_, Seconds{0.0});
}

Beats Player::at() const { return rendition_->performance.time.beats_at(now_); }

void Player::change(std::shared_ptr<const Rendition>& rendition) {
  assert(rendition->score.notes.size() == rendition_->score.notes.size());
  assert(rendition->score.messages.size() == rendition_->score.messages.size());
  // Before the first beat and after the last, what counts is the distance to it.
  const Beats here = at();
  const Seconds then = now_;
  rendition_.swap(rendition);
  now_ = rendition_->performance.time.seconds_at(here);
  next_ = 0;  // what has been played is passed over
  inherit(rendition->performance, then);
}

// The note of its key that sounds for this one, which does not sound itself: the last before it.
// Itself where there is none.
std::uint32_t Player::sounding_for(std::uint32_t note) const {
  const Score& score = rendition_->score;
  const std::vector<PerformedNote>& notes = rendition_->performance.notes;
  const std::size_t key = channel_key(score, note);
  std::uint32_t found = note;
  for (std::uint32_t i = 0; i < notes.size(); ++i) {
    if (!notes[i].sounds || notes[i].onset > notes[note].onset) continue;
    if (channel_key(score, i) != key) continue;
    if (found == note || notes[i].onset > notes[found].onset) found = i;
  }
  return found;
}

void Player::inherit(const Performance& old, Seconds then) {
  const std::vector<PerformedNote>& notes = rendition_->performance.notes;
  const auto hand_over = [&](std::uint32_t& held, std::uint32_t heir) {
    played_[2 * (held - 1) + 1] = true;
    played_[2 * heir] = true;
    played_[2 * heir + 1] = false;
    held = heir + 1;
  };
  for (std::uint32_t& held : held_) {
    if (held != 0 && !notes[held - 1].sounds) hand_over(held, sounding_for(held - 1));
  }
  for (std::uint32_t i = 0; i < notes.size(); ++i) {
    const bool sounds_anew = notes[i].sounds && !old.notes[i].sounds;
    if (!sounds_anew || played_[2 * i] || old.notes[i].onset > then) continue;
    std::uint32_t& held = held_[channel_key(rendition_->score, i)];
    played_[2 * i] = played_[2 * i + 1] = true;  // by the note that sounded for it
    if (held != 0 && notes[i].end > now_) hand_over(held, i);
  }
}

// From a state in which nothing sounds.
void Player::restore_and_mark(Beats moment, std::span<const std::vector<std::uint8_t>> restore,
                              const Send& send) {
  reset_controllers(send);
  for (const std::vector<std::uint8_t>& message : restore) send(message, {});
  const Score& score = rendition_->score;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    played_[2 * i] = played_[2 * i + 1] = score.notes[i].onset < moment;
  }
  for (std::size_t i = 0; i < score.messages.size(); ++i) {
    played_[2 * score.notes.size() + i] = score.messages[i].at < moment;
  }
  now_ = rendition_->performance.time.seconds_at(moment);
  next_ = 0;
  done_ = false;
}

void Player::go_to(Beats moment, std::span<const std::vector<std::uint8_t>> restore,
                   const Send& send) {
  silence(send);
  restore_and_mark(std::min(moment, settings_.end), restore, send);
}

void Player::pause(const Send& send) {
  paused_ = true;
  silence(send);
}

void Player::resume(std::span<const std::vector<std::uint8_t>> restore, const Send& send) {
  paused_ = false;
  for (const std::vector<std::uint8_t>& message : restore) send(message, {});
}

void Player::silence(const Send& send) {
  for (std::size_t key = 0; key < held_.size(); ++key) {
    if (held_[key] != 0) send(key_up(key), {});
  }
  held_.fill(0);
  for (std::size_t channel = 0; channel < 16; ++channel) {
    for (const std::uint8_t number : kReleases) {
      send(controller(channel, number), {});
    }
  }
}

void Player::give_way(const Send& send) {
  silence(send);
  reset_controllers(send);
}

}  // namespace arsis
