#include "tool/play_session.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "score/click.h"
#include "shape/energy.h"

namespace arsis {
namespace {

constexpr int kBarWidth = 10;

std::string energy_bar(double energy) {
  const auto full = static_cast<std::size_t>(std::lround(std::clamp(energy, 0.0, 1.0) * kBarWidth));
  return "[" + std::string(full, '#') + std::string(kBarWidth - full, '.') + "]";
}

constexpr std::array<char, kLevels> kLevelKeys = {'m', 'p', 's', 'w'};  // by Level

// Where blocks of the level begin within the span, its own beginning among them.
std::vector<Beats> beginnings(const BoundPlan& plan, Level level, Span span) {
  std::vector<Beats> found = {span.begin};
  for (const Block& block : plan.level(level)) {
    if (block.span.begin > span.begin && block.span.begin < span.end) {
      found.push_back(block.span.begin);
    }
  }
  return found;
}

}  // namespace

PlaySession::PlaySession(const Loaded& loaded, const Passage& passage, const Layers& layers,
                         const Instrument& instrument)
    : loaded_(loaded),
      passage_(passage),
      instrument_(instrument),
      layers_(layers),
      shaped_amount_(layers.amount > 0.0 ? layers.amount : 1.0),
      excerpt_(perform_passage(loaded, passage, layers, instrument)),
      stops_(beginnings(loaded.bound, Level::kPhrase, passage.excerpt.span)) {
  if (stops_.size() == 1) {
    stops_ = beginnings(loaded.bound, Level::kMotif, passage.excerpt.span);
  }
}

std::shared_ptr<const Rendition> PlaySession::rendition() const {
  Excerpt now = perform_passage(loaded_, passage_, layers_, instrument_);
  return rendition_of(std::move(now.score), std::move(now.performance));
}

PlayerSettings PlaySession::settings(bool loop) const {
  const Beats end = passage_.excerpt.span.end;
  // A breath between rounds is a beat long: whoever plays along keeps the pulse.
  const Beats beat = counted_beat(loaded_.score.bars.at(end - Beats{1e-6}).signature);
  const double quarter =
      static_cast<double>(loaded_.score.tempo.microseconds_per_quarter_at(end)) * 1e-6;
  return {.entry = excerpt_.entry,
          .end = end + excerpt_.moved,
          .loop = loop,
          .breath = {beat.value * quarter}};
}

void PlaySession::change(LivePlayback& playback) { playback.change(rendition()); }

void PlaySession::step(bool forward, LivePlayback& playback) {
  const Beats here = in_score(playback.state().at);
  // Just after a beginning, back means the one before it.
  const Beats margin = forward ? Beats{1e-6} : Beats{-1.0};
  const auto after = std::ranges::upper_bound(stops_, here + margin);
  if (forward) {
    if (after != stops_.end()) playback.go_to(*after + excerpt_.moved);
    return;
  }
  const Beats target = after == stops_.begin() ? stops_.front() : *std::prev(after);
  playback.go_to(target + excerpt_.moved);
}

bool PlaySession::press(KeyPress key, LivePlayback& playback) {
  if (key.key != Key::kOther) {
    step(key.key == Key::kRight, playback);
    return true;
  }
  if (key.letter == 'q') return false;
  if (key.letter == ' ') {
    playback.state().paused ? playback.resume() : playback.pause();
  } else if (key.letter == 'f') {
    layers_.amount = layers_.amount > 0.0 ? 0.0 : shaped_amount_;
    change(playback);
  } else if (const auto level = std::ranges::find(kLevelKeys, key.letter);
             level != kLevelKeys.end()) {
    bool& heard = layers_.heard[static_cast<std::size_t>(level - kLevelKeys.begin())];
    heard = !heard;
    change(playback);
  }
  return true;
}

std::string PlaySession::status(const LiveState& state) const {
  const Beats at = in_score(state.at);
  const Span span = passage_.excerpt.span;
  std::string line;
  if (at < span.begin) {
    line = "counting in";
  } else {
    const Beats shown = std::min(at, span.end - Beats{1e-6});
    const Position position = loaded_.score.bars.position_of(shown);
    line = fmt::format("{:>3}:{}", position.bar, static_cast<int>(std::floor(position.beat)));
    BlockFinder finder(loaded_.bound);
    const HoldingBlocks blocks = finder.at(shown);
    for (const Level level : {Level::kSentence, Level::kPhrase, Level::kMotif}) {
      const Block* block = blocks[index_of(level)];
      if (block == nullptr) continue;
      const std::vector<Block>& all = loaded_.bound.level(level);
      line += fmt::format(
          "  {} {}", name_of(level),
          block_name(loaded_.bound, level, static_cast<std::size_t>(block - all.data())));
    }
    const ArcLoss arcs = arc_loss(loaded_.bound, blocks, shown, layers_);
    line += "  " + energy_bar(arcs.energy());
  }
  if (layers_.amount == 0.0) {
    line += "  flat";
  } else {
    for (const Level level : kEveryLevel) {
      if (level == Level::kPiece && loaded_.bound.piece.empty()) continue;
      if (!layers_.heard[index_of(level)]) line += fmt::format("  no {}", name_of(level));
    }
  }
  if (state.round > 1) line += fmt::format("  round {}", state.round);
  if (state.paused) line += "  paused";
  return line;
}

std::string PlaySession::help() {
  return "space pause   left/right block   m p s w levels on/off   f flat/shaped   q quit";
}

}  // namespace arsis
