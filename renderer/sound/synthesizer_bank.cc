// The work is cut into slices of time. Each free thread takes the next slice of the synthesizer
// that is furthest behind; the calling thread adds up what all have done, and helps while it waits.
#include "sound/synthesizer_bank.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <condition_variable>
#include <future>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <utility>

#include "sound/phases.h"

namespace arsis {
namespace {

constexpr std::size_t kSlice = 8192;  // frames
constexpr std::size_t kAhead = 4;     // slices that a synthesizer may be ahead of the sum

// What all synthesizers play from.
struct Music {
  const Score& score;
  std::span<const TimedMessage> messages;
  std::vector<std::uint8_t> recipients;  // of each message
  int sample_rate = 0;
};

// One synthesizer on its way through the music.
class Member {
 public:
  Member(Synthesizer& synthesizer, const Music& music, std::uint8_t number, int lead)
      : synthesizer_(synthesizer), music_(music), number_(number), lead_(lead) {
    find_next();
  }

  void render(std::span<float> interleaved) {
    if (frame_ == 0 && lead_ > 0) {
      std::array<float, 2 * kBlock> before{};
      go_on(std::span(before).first(2 * static_cast<std::size_t>(lead_)));
    }
    go_on(interleaved);
  }

 private:
  void find_next() {
    const std::span<const TimedMessage> messages = music_.messages;
    while (next_ < messages.size() && music_.recipients[next_] != number_ &&
           music_.recipients[next_] != kEverySynthesizer) {
      ++next_;
    }
    next_at_.reset();
    if (next_ < messages.size()) {
      next_at_ = block_begin(messages[next_].at, music_.sample_rate, lead_);
    }
  }

  void go_on(std::span<float> interleaved) {
    while (!interleaved.empty()) {
      while (next_at_ && *next_at_ <= frame_) {
        synthesizer_.send(bytes_of(music_.messages[next_++], music_.score));
        find_next();
      }
      std::uint64_t count = interleaved.size() / 2;
      if (next_at_) count = std::min(count, *next_at_ - frame_);
      const auto samples = static_cast<std::size_t>(2 * count);
      synthesizer_.render(interleaved.first(samples));
      interleaved = interleaved.subspan(samples);
      frame_ += count;
    }
  }

  Synthesizer& synthesizer_;
  const Music& music_;
  std::uint8_t number_;
  int lead_;
  std::uint64_t frame_ = 0;  // from the synthesizer's own beginning
  std::size_t next_ = 0;     // message
  std::optional<std::uint64_t> next_at_;
};

// The players' work, shared between threads.
class Workshop {
 public:
  Workshop(std::vector<Member> players, std::uint64_t frames)
      : frames_(frames),
        slices_(static_cast<std::size_t>((frames + kSlice - 1) / kSlice)),
        desks_(players.size()) {
    for (std::size_t i = 0; i < players.size(); ++i) {
      desks_[i].player.emplace(std::move(players[i]));
      desks_[i].frames.resize(kAhead * 2 * kSlice);
    }
  }
  Workshop(const Workshop&) = delete;
  Workshop& operator=(const Workshop&) = delete;
  ~Workshop() {
    {
      const std::lock_guard lock(mutex_);
      over_ = true;
    }
    changed_.notify_all();
    for (std::thread& helper : helpers_) helper.join();
  }

  // Fewer where the system gives no more threads: the work is then done by those there are.
  void hire(std::size_t helpers) {
    try {
      while (helpers_.size() < helpers) helpers_.emplace_back([this] { help(); });
    } catch (const std::system_error&) {
    }
  }

  Result<Done> hand_over(const SynthesizerBank::Take& take) {
    std::vector<float> sum(2 * kSlice);
    for (std::size_t slice = 0; slice < slices_; ++slice) {
      wait_for(slice);
      const std::uint64_t left = frames_ - std::uint64_t{slice} * kSlice;
      const std::span<float> part =
          std::span(sum).first(2 * static_cast<std::size_t>(std::min<std::uint64_t>(kSlice, left)));
      add_up(slice, part);
      {
        const std::lock_guard lock(mutex_);
        summed_ = slice + 1;
      }
      changed_.notify_all();
      const Result<bool> more = take(part);
      if (!more) return more.diagnostics();
      if (!*more) break;
    }
    return Done{};
  }

 private:
  struct Desk {
    std::optional<Member> player;
    std::vector<float> frames;  // of kAhead slices, in turn
    std::size_t done = 0;       // slices
    bool busy = false;
  };

  static std::span<float> room_for(Desk& desk, std::size_t slice) {
    return std::span(desk.frames).subspan(slice % kAhead * 2 * kSlice, 2 * kSlice);
  }

  // The idle player that is furthest behind, if it may go on.
  Desk* idle() {
    Desk* chosen = nullptr;
    for (Desk& desk : desks_) {
      if (desk.busy || desk.done >= std::min(slices_, summed_ + kAhead)) continue;
      if (chosen == nullptr || desk.done < chosen->done) chosen = &desk;
    }
    return chosen;
  }

  void work(Desk& desk, std::unique_lock<std::mutex>& lock) {
    desk.busy = true;
    lock.unlock();
    desk.player->render(room_for(desk, desk.done));  // nobody else counts a busy desk's slices
    lock.lock();
    ++desk.done;
    desk.busy = false;
    changed_.notify_all();
  }

  void help() {
    std::unique_lock lock(mutex_);
    while (!over_) {
      if (Desk* desk = idle()) {
        work(*desk, lock);
      } else {
        changed_.wait(lock);
      }
    }
  }

  void wait_for(std::size_t slice) {
    std::unique_lock lock(mutex_);
    while (!std::ranges::all_of(desks_, [&](const Desk& desk) { return desk.done > slice; })) {
      if (Desk* desk = idle()) {
        work(*desk, lock);
      } else {
        changed_.wait(lock);
      }
    }
  }

  // In the order of the synthesizers, so that the rounding is always the same.
  void add_up(std::size_t slice, std::span<float> sum) {
    std::ranges::fill(sum, 0.0F);
    for (Desk& desk : desks_) {
      const std::span<const float> part = room_for(desk, slice);
      for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += part[i];
    }
  }

  std::uint64_t frames_;
  std::size_t slices_;
  std::vector<Desk> desks_;
  std::size_t summed_ = 0;  // slices
  bool over_ = false;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<std::thread> helpers_;
};

std::size_t thread_count(const BankSettings& settings) {
  const std::size_t wanted = settings.threads > 0 ? static_cast<std::size_t>(settings.threads)
                                                  : std::thread::hardware_concurrency();
  return std::clamp(wanted, std::size_t{1}, settings.leads.size());
}

}  // namespace

SynthesizerBank::SynthesizerBank(std::vector<Synthesizer> synthesizers,
                                 const BankSettings& settings)
    : synthesizers_(std::move(synthesizers)), settings_(settings) {}

Result<SynthesizerBank> SynthesizerBank::with(const std::filesystem::path& soundfont,
                                              const BankSettings& settings) {
  assert(!settings.leads.empty());
  // The first alone: it sets FluidSynth up and reads the samples that the others then share.
  Result<Synthesizer> first = Synthesizer::with(soundfont, settings.synthesizer);
  if (!first) return first.diagnostics();
  std::vector<Synthesizer> synthesizers;
  synthesizers.push_back(*std::move(first));
  // Where there is no thread to be had, each is made when it is asked for.
  const std::launch policy = thread_count(settings) > 1 ? std::launch::async | std::launch::deferred
                                                        : std::launch::deferred;
  std::vector<std::future<Result<Synthesizer>>> others;
  for (std::size_t i = 1; i < settings.leads.size(); ++i) {
    others.push_back(
        std::async(policy, [&] { return Synthesizer::with(soundfont, settings.synthesizer); }));
  }
  for (std::future<Result<Synthesizer>>& other : others) {
    Result<Synthesizer> made = other.get();
    if (!made) return made.diagnostics();
    synthesizers.push_back(*std::move(made));
  }
  return SynthesizerBank(std::move(synthesizers), settings);
}

Result<Done> SynthesizerBank::render(const Score& score, std::span<const TimedMessage> messages,
                                     std::uint64_t frames, const Take& take) {
  const int rate = settings_.synthesizer.sample_rate;
  const Music music{score, messages, recipients(messages, rate, settings_.leads), rate};
  std::vector<Member> players;
  for (std::size_t i = 0; i < synthesizers_.size(); ++i) {
    players.emplace_back(synthesizers_[i], music, static_cast<std::uint8_t>(i), settings_.leads[i]);
  }
  Workshop workshop(std::move(players), frames);
  workshop.hire(thread_count(settings_) - 1);
  return workshop.hand_over(take);
}

}  // namespace arsis
