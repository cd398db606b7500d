// What a desk plays, sounded by a synthesizer. Private to live.cc, live_loudness.cc and tests.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <utility>

#include "sound/live_desk.h"
#include "sound/silence.h"
#include "sound/synthesizer.h"

namespace arsis {

// Renders what the desk sends. [audio thread]
class SynthesizerVoice {
 public:
  SynthesizerVoice(LiveDesk& desk, Synthesizer synthesizer, int rate)
      : desk_(desk),
        synthesizer_(std::move(synthesizer)),
        block_length_{static_cast<double>(kBlock) / rate} {}

  // Left and right in turn; any number of frames.
  void fill(std::span<float> out) {
    while (!out.empty()) {
      if (left_.empty()) left_ = next_block();
      const std::size_t taken = std::min(out.size(), left_.size());
      std::ranges::copy(left_.first(taken), out.begin());
      left_ = left_.subspan(taken);
      out = out.subspan(taken);
    }
  }

 private:
  std::span<const float> next_block() {
    // Messages take effect at the beginning of a block: each goes to the nearest.
    const Seconds half = block_length_ * 0.5;
    const Seconds passed = begun_ ? block_length_ : half;
    begun_ = true;
    desk_.turn(passed, half, [this](std::span<const std::uint8_t> message, Seconds) {
      synthesizer_.send(message);
    });
    synthesizer_.render(block_);
    turn_up_or_down();
    for (float& sample : block_) sample = std::clamp(sample, -1.0F, 1.0F);
    if (desk_.all_sent()) {
      const bool quiet =
          std::ranges::all_of(block_, [](float sample) { return std::abs(sample) < kSilence; });
      quiet_ = quiet ? quiet_ + block_length_ : Seconds{0.0};
      tail_ += block_length_;
      if (quiet_ > kSilenceLength || tail_ > kLongestTail) desk_.set_died_away();
    } else {
      quiet_ = {0.0};
      tail_ = {0.0};
    }
    return block_;
  }

  // To the rendition's gain, within the block where it is new, so that nothing clicks.
  void turn_up_or_down() {
    const Decibels wanted = desk_.gain();
    if (wanted != gain_) {
      gain_ = wanted;
      target_ = static_cast<float>(to_ratio(wanted));
    }
    const float step = (target_ - scale_) / static_cast<float>(kBlock);
    for (std::size_t frame = 0; frame < kBlock; ++frame) {
      scale_ = frame + 1 == kBlock ? target_ : scale_ + step;
      block_[2 * frame] *= scale_;
      block_[2 * frame + 1] *= scale_;
    }
  }

  static constexpr Seconds kLongestTail{6.0};  // of a last chord

  LiveDesk& desk_;
  Synthesizer synthesizer_;
  Decibels gain_{0.0};
  float target_ = 1.0F;  // as a ratio
  float scale_ = 1.0F;   // at the last frame
  Seconds block_length_;
  std::array<float, kBlock * 2> block_{};
  std::span<const float> left_;  // of the block, not handed over yet
  Seconds quiet_;                // for how long it has been silent
  Seconds tail_;
  bool begun_ = false;
};

}  // namespace arsis
