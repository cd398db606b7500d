#include "sound/live.h"

#include <fmt/format.h>
#include <pthread.h>
#include <sched.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <cstdlib>
#include <mutex>
#include <thread>
#include <utility>

#include "base/text.h"
#include "sound/live_desk.h"
#include "sound/silence.h"

namespace arsis {
namespace {

using Clock = std::chrono::steady_clock;

constexpr Seconds kLongestLiveTail{6.0};  // of a last chord
constexpr Seconds kFadeAtStop{0.3};       // a string's release and a little room
// A computer that has slept goes on where it was, rather than playing all it has missed.
constexpr Seconds kLongestStep{1.0};
constexpr Seconds kLongestSleep{0.25};
constexpr std::chrono::milliseconds kDeviceMayStall{2000};
constexpr std::chrono::milliseconds kClosingMayTake{2000};

std::chrono::nanoseconds nanoseconds(Seconds time) {
  return std::chrono::nanoseconds(static_cast<std::int64_t>(time.value * 1e9));
}

// Renders what the desk sends. [audio thread]
class SynthesizerVoice {
 public:
  SynthesizerVoice(LiveDesk& desk, Synthesizer synthesizer, int rate)
      : desk_(desk),
        synthesizer_(std::move(synthesizer)),
        block_length_{static_cast<double>(kBlock) / rate} {}

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
    for (float& sample : block_) sample = std::clamp(sample, -1.0F, 1.0F);
    if (desk_.all_sent()) {
      const bool quiet =
          std::ranges::all_of(block_, [](float sample) { return std::abs(sample) < kSilence; });
      quiet_ = quiet ? quiet_ + block_length_ : Seconds{0.0};
      tail_ += block_length_;
      if (quiet_ > kSilenceLength || tail_ > kLongestLiveTail) desk_.set_died_away();
    } else {
      quiet_ = {0.0};
      tail_ = {0.0};
    }
    return block_;
  }

  LiveDesk& desk_;
  Synthesizer synthesizer_;
  Seconds block_length_;
  std::array<float, kBlock * 2> block_{};
  std::span<const float> left_;  // of the block, not handed over yet
  Seconds quiet_;                // for how long it has been silent
  Seconds tail_;
  bool begun_ = false;
};

// Sends what the desk plays to a port, on a thread of its own.
class PortVoice {
 public:
  PortVoice(LiveDesk& desk, MidiPort port) : desk_(desk), port_(std::move(port)) {
    thread_ = std::thread([this] { run(); });
    // A little ahead of other programs where the system allows it; it goes without as well.
    const sched_param priority{.sched_priority = 10};
    ::pthread_setschedparam(thread_.native_handle(), SCHED_FIFO, &priority);
  }
  PortVoice(const PortVoice&) = delete;
  PortVoice& operator=(const PortVoice&) = delete;
  ~PortVoice() {
    {
      const std::lock_guard lock(mutex_);
      closing_ = true;
    }
    wake_.notify_all();
    thread_.join();
  }

  // A command was posted.
  void nudge() {
    {
      const std::lock_guard lock(mutex_);
      nudged_ = true;
    }
    wake_.notify_all();
  }
  const MidiPort& port() const { return port_; }

 private:
  void run() {
    auto before = Clock::now();
    std::unique_lock lock(mutex_);
    while (!closing_) {
      nudged_ = false;
      lock.unlock();
      const auto now = Clock::now();
      const Seconds passed{std::chrono::duration<double>(now - before).count()};
      before = now;
      desk_.turn(passed > kLongestStep ? Seconds{0.0} : passed, {},
                 [this](std::span<const std::uint8_t> message, Seconds) { port_.send(message); });
      if (desk_.all_sent()) desk_.set_died_away();
      const Seconds wait = std::min(desk_.until_next(), kLongestSleep);
      lock.lock();
      wake_.wait_until(lock, now + nanoseconds(wait), [this] { return nudged_ || closing_; });
    }
  }

  LiveDesk& desk_;
  MidiPort port_;
  std::mutex mutex_;
  std::condition_variable wake_;
  bool closing_ = false;
  bool nudged_ = false;
  std::thread thread_;
};

}  // namespace

struct LivePlayback::Engine {
  Engine(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings)
      : desk(std::move(rendition), settings) {}

  LiveDesk desk;
  std::unique_ptr<SynthesizerVoice> synthesizer;
  std::unique_ptr<AudioOutput> output;
  std::unique_ptr<PortVoice> port;
  bool stopped = false;
  bool left_behind = false;  // something of it may still be in use
  std::uint64_t frames_seen = 0;
  Clock::time_point frames_moved = Clock::now();

  void post(LiveCommand command) {
    desk.post(std::move(command));
    if (port) port->nudge();
  }
};

LivePlayback::LivePlayback(std::unique_ptr<Engine> engine) : engine_(std::move(engine)) {}
LivePlayback::LivePlayback(LivePlayback&&) noexcept = default;
LivePlayback::~LivePlayback() {
  if (!engine_) return;
  stop();
  if (engine_->left_behind) static_cast<void>(engine_.release());
}

Result<LivePlayback> LivePlayback::through_synthesizer(std::shared_ptr<const Rendition> rendition,
                                                       const PlayerSettings& settings,
                                                       const LiveSound& sound) {
  Result<AudioOutput> output = AudioOutput::open(sound.output);
  if (!output) return output.diagnostics();
  SynthesizerSettings chosen = sound.synthesizer;
  chosen.sample_rate = output->sample_rate();
  Result<Synthesizer> synthesizer = Synthesizer::with(sound.soundfont, chosen);
  if (!synthesizer) return synthesizer.diagnostics();
  auto engine = std::make_unique<Engine>(std::move(rendition), settings);
  engine->output = std::make_unique<AudioOutput>(*std::move(output));
  engine->synthesizer =
      std::make_unique<SynthesizerVoice>(engine->desk, *std::move(synthesizer), chosen.sample_rate);
  engine->output->start(
      [voice = engine->synthesizer.get()](std::span<float> buffer) { voice->fill(buffer); });
  return LivePlayback(std::move(engine));
}

Result<LivePlayback> LivePlayback::to_port(std::shared_ptr<const Rendition> rendition,
                                           const PlayerSettings& settings, MidiPort port) {
  auto engine = std::make_unique<Engine>(std::move(rendition), settings);
  engine->port = std::make_unique<PortVoice>(engine->desk, std::move(port));
  return LivePlayback(std::move(engine));
}

void LivePlayback::pause() { engine_->post({.kind = LiveCommand::Kind::kPause}); }

void LivePlayback::resume() {
  const auto rendition = engine_->desk.rendition();
  engine_->post({.kind = LiveCommand::Kind::kResume,
                 .restore = restoring(rendition->score, engine_->desk.state().at)});
}

void LivePlayback::go_to(Beats moment) {
  const auto rendition = engine_->desk.rendition();
  engine_->post({.kind = LiveCommand::Kind::kGoTo,
                 .moment = moment,
                 .restore = restoring(rendition->score, moment)});
}

void LivePlayback::change(std::shared_ptr<const Rendition> rendition) {
  engine_->post({.kind = LiveCommand::Kind::kChange, .rendition = std::move(rendition)});
}

namespace {

void wait_until(Clock::time_point limit, const auto& condition) {
  while (!condition() && Clock::now() < limit) {
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
}

}  // namespace

void LivePlayback::stop() {
  Engine& engine = *engine_;
  if (engine.stopped) return;
  engine.stopped = true;
  engine.post({.kind = LiveCommand::Kind::kSilence});
  wait_until(Clock::now() + std::chrono::milliseconds(500), [&] { return engine.desk.silenced(); });
  if (engine.output) {
    const std::uint64_t enough =
        engine.output->frames() +
        static_cast<std::uint64_t>(kFadeAtStop.value * engine.output->sample_rate());
    if (engine.desk.silenced()) {
      wait_until(Clock::now() + std::chrono::milliseconds(1000),
                 [&] { return engine.output->frames() >= enough; });
    }
    engine.output->stop();
  }
  // A driver or a port whose server has gone or is stuck may never return from closing: it is then
  // left behind, with all that it uses.
  auto output = std::shared_ptr<AudioOutput>(std::move(engine.output));
  auto port = std::shared_ptr<PortVoice>(std::move(engine.port));
  auto closed = std::make_shared<std::atomic<bool>>(false);
  std::thread([output = std::move(output), port = std::move(port), closed]() mutable {
    output.reset();
    port.reset();
    *closed = true;
  }).detach();
  wait_until(Clock::now() + kClosingMayTake, [&] { return closed->load(); });
  engine.left_behind = !closed->load();
}

LiveState LivePlayback::state() const { return engine_->desk.state(); }
LiveReport LivePlayback::report() const { return engine_->desk.report(); }

std::optional<std::string> LivePlayback::fault() {
  Engine& engine = *engine_;
  if (engine.port && !engine.port->port().connected()) {
    return fmt::format("the MIDI port '{}' has gone", printable(engine.port->port().name()));
  }
  if (engine.output) {
    const std::uint64_t frames = engine.output->frames();
    if (frames != engine.frames_seen) {
      engine.frames_seen = frames;
      engine.frames_moved = Clock::now();
    } else if (Clock::now() - engine.frames_moved > kDeviceMayStall) {
      return fmt::format("the audio device ({}) has stopped", engine.output->driver());
    }
  }
  return std::nullopt;
}

std::string LivePlayback::where() const {
  if (engine_->port) return engine_->port->port().name();
  return engine_->output ? fmt::format("audio ({})", engine_->output->driver()) : "";
}

}  // namespace arsis
