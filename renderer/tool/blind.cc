#include "tool/blind.h"

#include <fmt/format.h>

#include <chrono>
#include <iostream>
#include <random>
#include <utility>

#include "base/text.h"
#include "tool/attend.h"
#include "tool/audition_live.h"
#include "tool/blind_pairs.h"
#include "tool/blind_score.h"

namespace arsis {
namespace {

constexpr std::uint64_t kMostSeed = 999'999;  // of those that chance chooses: easily typed

std::optional<int> pairs_of(const AuditionArgs& args) {
  const auto number = parse_integer(trimmed(*args.blind));
  if (!number || *number < 1 || *number > kMostPairs) return std::nullopt;
  return static_cast<int>(*number);
}

std::uint64_t seed_of(const AuditionArgs& args) {
  if (const auto seed = parse_integer(trimmed(args.order))) {
    return static_cast<std::uint64_t>(*seed);
  }
  return std::random_device{}() % (kMostSeed + 1);
}

// One pair at the keys: the first, the second, then the answer.
class PairSession {
 public:
  PairSession(std::array<std::shared_ptr<const Rendition>, 2> sounds, PlayerSettings settings,
              std::string place, std::string question, bool interactive)
      : sounds_(std::move(sounds)),
        settings_(settings),
        place_(std::move(place)),
        question_(std::move(question)),
        interactive_(interactive) {}

  const std::shared_ptr<const Rendition>& first() const { return sounds_[0]; }
  const PlayerSettings& settings() const { return settings_; }
  void begin(std::size_t which, LivePlayback& playback) {
    now_ = which;
    ended_.reset();
    playback.begin(sounds_[which], settings_);
  }

  bool press(KeyPress key, LivePlayback& playback, Terminal&) {
    if (key.letter == 'q') return false;
    if (key.letter == 'r') heard_both_ = false, begin(0, playback);
    if (key.letter == ' ') playback.state().paused ? playback.resume() : playback.pause();
    // Who has heard enough of the second may answer.
    const bool may_answer = heard_both_ || now_ == 1;
    if (may_answer && (key.letter == '1' || key.letter == '2')) answer_ = key.letter == '1' ? 0 : 1;
    return !answer_;
  }

  bool follow(const LiveState& state, LivePlayback& playback) {
    if (!state.done || state.paused) return true;
    const auto now = std::chrono::steady_clock::now();
    if (!ended_) ended_ = now;
    heard_both_ = heard_both_ || now_ == 1;
    if (heard_both_) return interactive_;
    if (now - *ended_ >= kAfterReading) begin(1, playback);
    return true;
  }

  std::string status(const LiveState& state) const {
    if (ended_ && heard_both_) return fmt::format("{}  {}, 1 or 2?", place_, question_);
    return fmt::format("{}  the {} sounds{}", place_, now_ == 0 ? "first" : "second",
                       state.paused ? "  paused" : "");
  }

  // From a line of standard input, where there is no terminal; none at its end.
  std::optional<std::size_t> read_answer() const {
    report(fmt::format("{}: {}, 1 or 2?", place_, question_));
    for (std::string line; std::getline(std::cin, line);) {
      if (trimmed(line) == "1") return 0;
      if (trimmed(line) == "2") return 1;
      if (trimmed(line) == "q") return std::nullopt;
      report("write 1 for the first, 2 for the second, or q to leave off");
    }
    return std::nullopt;
  }

  std::optional<std::size_t> answer() const { return answer_; }
  bool heard_both() const { return heard_both_; }

 private:
  std::array<std::shared_ptr<const Rendition>, 2> sounds_;
  PlayerSettings settings_;
  std::string place_;
  std::string question_;
  bool interactive_;
  std::size_t now_ = 0;
  bool heard_both_ = false;
  std::optional<std::size_t> answer_;  // 0: the first
  std::optional<std::chrono::steady_clock::time_point> ended_;
};

class BlindTest {
 public:
  BlindTest(const AuditionArgs& args, PairDrawer drawer)
      : args_(args), drawer_(std::move(drawer)), seed_(seed_of(args)), dice_(seed_) {
    score_.pairs = *pairs_of(args);
    score_.amount = args.layers.amount;
  }

  int run() {
    int code = kDone;
    {
      const StopSignals signals;
      Terminal terminal;
      if (terminal.interactive())
        report("1 or 2 answers   r hear both again   space pause   q quit");
      while (score_.asked < score_.pairs && ask(terminal, code)) {
      }
      terminal.clear();
      if (playback_) playback_->stop();
      if (code == kDone) code = after_playing(fault_);
    }
    if (code != kDone) return code;
    fmt::print("{} (order {})\n", words_of(score_), seed_);
    if (!missed_.empty()) fmt::print("missed: {}\n", missed_);
    return kDone;
  }

 private:
  // False: it is over; with the exit code in `code` where something is at fault.
  bool ask(Terminal& terminal, int& code) {
    const std::optional<BlindPair> pair = drawer_.draw(dice_);
    if (!pair) {
      report({error({}, "the readings are heard alike: there is nothing to tell apart",
                    "what makes them differ is left out: see --amount, --only and --without")});
      code = kUsageAtFault;
      return false;
    }
    auto session = session_of(*pair, terminal.interactive(), code);
    if (!session || !start(*session, code)) return false;
    fault_ = attend(*session, *playback_, terminal);
    if (fault_ || StopSignals::caught()) return false;
    auto answer = session->answer();
    if (!answer && !terminal.interactive() && session->heard_both())
      answer = session->read_answer();
    if (!answer) return false;
    count(*pair, *answer);
    return true;
  }

  bool start(PairSession& session, int& code) {
    if (playback_) {
      session.begin(0, *playback_);
      return true;
    }
    Result<LivePlayback> started =
        start_playing(session.first(), session.settings(), args_.where,
                      {args_.audio.soundfont, args_.audio.reverb}, args_.plan);
    report(started.diagnostics());
    if (!started) return code = kDeviceMissing, false;
    playback_.emplace(*std::move(started));
    return true;
  }

  std::optional<PairSession> session_of(const BlindPair& pair, bool interactive, int& code) {
    Audition& audition = *pair.audition;
    audition.readings = {audition.readings.front(), audition.readings[pair.other]};
    const auto doubt = unmatched_warning(audition, args_);
    if (doubt && score_.asked == 0) report({*doubt});
    const auto gains = live_gains(audition, args_, code);
    if (!gains) return std::nullopt;
    std::array<std::shared_ptr<const Rendition>, 2> sounds;
    PlayerSettings settings;
    for (std::size_t i = 0; i < 2; ++i) {
      PlayedReading played = played_reading(audition, audition.readings[i], (*gains)[i]);
      settings = played.settings;
      sounds[pair.own_first ? i : 1 - i] = std::move(played.rendition);
    }
    return PairSession(
        std::move(sounds), settings,
        fmt::format("{} of {}  {}", score_.asked + 1, score_.pairs, audition.passage),
        question_of(audition), interactive);
  }

  // "in which does motif 2 lead"; of two plans "which is mine.yaml".
  static std::string question_of(const Audition& audition) {
    constexpr std::string_view kLeads = " leads";
    std::string name = audition.readings.front().name;
    if (!audition.block) return "which is " + name;
    name.resize(name.size() - kLeads.size());
    return fmt::format("in which does {} lead", name);
  }

  static const HeardReading& own(const BlindPair& pair) { return pair.audition->readings.front(); }

  void count(const BlindPair& pair, std::size_t answer) {
    ++score_.asked;
    if ((answer == 0) == pair.own_first) {
      ++score_.right;
      return;
    }
    const Audition& audition = *pair.audition;
    missed_ += fmt::format("{}{} ({} against {})", missed_.empty() ? "" : ", ", audition.passage,
                           own(pair).name, audition.readings[1].name);
  }

  const AuditionArgs& args_;
  PairDrawer drawer_;
  std::uint64_t seed_;
  Dice dice_;
  BlindScore score_;
  std::string missed_;
  std::optional<LivePlayback> playback_;
  std::optional<std::string> fault_;
};

}  // namespace

Diagnostics blind_usage(const AuditionArgs& args) {
  Diagnostics errors;
  if (!args.blind) {
    if (args.order.empty()) return {};
    return fail({}, "--order is that of a blind test", "add --blind, or leave it out");
  }
  if (!pairs_of(args)) {
    errors.push_back(error({}, fmt::format("--blind cannot be '{}'", printable(*args.blind)),
                           fmt::format("write how many pairs to hear, 1 to {}", kMostPairs)));
  }
  if (!args.output.empty()) {
    errors.push_back(error({}, "--blind asks while it plays, and -o writes a file",
                           "leave out one or the other"));
  }
  const auto seed = parse_integer(trimmed(args.order));
  if (!args.order.empty() && (!seed || *seed < 0)) {
    errors.push_back(error({}, fmt::format("--order cannot be '{}'", printable(args.order)),
                           "write a whole number, 0 or above"));
  }
  return errors;
}

int run_blind(const AuditionArgs& args, const Layers& layers) {
  int code = kDone;
  auto drawer = PairDrawer::of(args, layers, code);
  if (!drawer) return code;
  return BlindTest(args, *std::move(drawer)).run();
}

}  // namespace arsis
