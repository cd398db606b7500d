#include "sound/live_desk.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace arsis {
namespace {

constexpr std::size_t kMostPosted = 256;

}  // namespace

LiveDesk::LiveDesk(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings)
    : rendition_(rendition), player_(std::move(rendition), settings), at_(player_.at().value) {
  posted_.reserve(kMostPosted);
  obeying_.reserve(kMostPosted);
  obeyed_.reserve(kMostPosted);
}

void LiveDesk::post(LiveCommand command) {
  std::vector<LiveCommand> done;  // freed here, after the lock
  done.reserve(kMostPosted);
  const bool silence = command.kind == LiveCommand::Kind::kSilence;
  if (!silence) died_away_ = false;
  const std::lock_guard lock(box_);
  done.swap(obeyed_);
  // A held-down key: what is asked for faster than it can be played is lost, but for the end.
  if (posted_.size() < kMostPosted - 1) {
    if (command.rendition) rendition_ = command.rendition;
    ++posted_number_;
    note_wanted(command);
    posted_.push_back(std::move(command));
  } else if (silence) {
    // In the place of the last, so that their number stays.
    posted_.resize(kMostPosted - 2);
    posted_.push_back(std::move(command));
  }
}

void LiveDesk::note_wanted(const LiveCommand& command) {
  using enum LiveCommand::Kind;
  if (command.kind == kGoTo || command.kind == kBegin) {
    wanted_.state.at = command.moment;
    wanted_.at_number = posted_number_;
  }
  if (command.kind == kPause || command.kind == kResume || command.kind == kBegin) {
    wanted_.state.paused = command.kind == kPause;
    wanted_.paused_number = posted_number_;
  }
  if (command.kind == kBegin) wanted_.begin_number = posted_number_;
}

void LiveDesk::obey(LiveCommand& command, const Player::Send& send) {
  // What had died away before the command was taken says nothing of what comes now.
  died_away_ = false;
  switch (command.kind) {
    case LiveCommand::Kind::kPause:
      return player_.pause(send);
    case LiveCommand::Kind::kResume:
      return player_.resume(command.restore, send);
    case LiveCommand::Kind::kGoTo:
      return player_.go_to(command.moment, command.restore, send);
    case LiveCommand::Kind::kChange:
      return player_.change(command.rendition);
    case LiveCommand::Kind::kBegin:
      player_.give_way(send);
      return std::swap(player_, *command.player);  // moves, which asks for no memory
    case LiveCommand::Kind::kSilence:
      player_.pause(send);
      silenced_ = true;
  }
}

bool LiveDesk::take_posted() {
  if (!obeying_.empty() && !hand_back()) return false;
  const std::unique_lock lock(box_, std::try_to_lock);
  if (!lock) return false;
  obeying_.swap(posted_);
  return true;
}

bool LiveDesk::hand_back() {
  const std::unique_lock lock(box_, std::try_to_lock);
  if (!lock) return false;
  for (LiveCommand& command : obeying_) {
    if (obeyed_.size() < obeyed_.capacity()) obeyed_.push_back(std::move(command));
  }
  obeying_.clear();
  return true;
}

void LiveDesk::turn(Seconds by, Seconds aimed, const Player::Send& send) {
  // One pointer, so that the function object needs no memory of its own.
  struct Context {
    LiveDesk& desk;
    Seconds aimed;
    const Player::Send& send;
  } const context{*this, aimed, send};
  const Player::Send counted = [&context](std::span<const std::uint8_t> message, Seconds late) {
    context.desk.count(message, late - context.aimed);
    context.send(message, late);
  };
  // Obeyed without the lock: a port may take its time, and the commanding thread must not wait.
  std::uint64_t obeyed = obeyed_number_;
  bool begins = false;
  if (take_posted()) {
    obeyed += obeying_.size();
    for (LiveCommand& command : obeying_) {
      begins = begins || command.kind == LiveCommand::Kind::kBegin;
      if (!silenced_) obey(command, counted);
    }
    hand_back();
  }
  player_.run(begins ? aimed : by, counted);
  if (!player_.paused()) played_ += by;
  at_ = player_.at().value;
  round_ = player_.round();
  paused_ = player_.paused();
  all_sent_ = player_.done();
  obeyed_number_ = obeyed;  // last: the state is that after these
}

void LiveDesk::count(std::span<const std::uint8_t> message, Seconds off) {
  messages_.fetch_add(1, std::memory_order_relaxed);
  if ((message[0] & 0xF0) != 0x90) return;
  if (first_note_ < 0.0) first_note_ = played_.value;
  const auto step = static_cast<std::size_t>(std::abs(off / kStep));
  late_[std::min(step, kSteps - 1)].fetch_add(1, std::memory_order_relaxed);
}

LiveState LiveDesk::state() const {
  const std::uint64_t obeyed = obeyed_number_;  // before the rest
  LiveState state{.at = {at_}, .round = round_, .paused = paused_, .done = all_sent_ && died_away_};
  if (obeyed < wanted_.at_number) state.at = wanted_.state.at;
  if (obeyed < wanted_.begin_number) state.done = false;
  if (obeyed < wanted_.paused_number) state.paused = wanted_.state.paused;
  return state;
}

LiveReport LiveDesk::report() const {
  LiveReport report;
  report.messages = messages_;
  if (first_note_ >= 0.0) report.first_note = Seconds{first_note_};
  std::uint64_t all = 0;
  for (const auto& count : late_) all += count;
  const auto share = [&](double wanted) {
    std::uint64_t sum = 0;
    for (std::size_t i = 0; i < kSteps; ++i) {
      sum += late_[i];
      if (static_cast<double>(sum) >= wanted * static_cast<double>(all)) {
        return kStep * static_cast<double>(i + 1);
      }
    }
    return Seconds{0.0};
  };
  if (all > 0) {
    report.off_half = share(0.5);
    report.off_most = share(0.99);
  }
  return report;
}

}  // namespace arsis
