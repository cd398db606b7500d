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

bool PlaySession::press(KeyPress key, LivePlayback& playback, Terminal&) {
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

std::string PlaySession::place_text(Beats at) const {
  const Position position = loaded_.score.bars.position_of(at);
  BlockFinder finder(loaded_.bound);
  const double energy = arc_loss(loaded_.bound, finder.at(at), at, layers_).energy();
  return fmt::format("{:>3}:{}  {}", position.bar, static_cast<int>(std::floor(position.beat)),
                     energy_bar(energy));
}

std::string PlaySession::layers_text() const {
  if (layers_.amount == 0.0) return "  flat";
  std::string text;
  for (const Level level : kEveryLevel) {
    if (level == Level::kPiece && loaded_.bound.piece.empty()) continue;
    if (!layers_.heard[index_of(level)]) text += fmt::format("  no {}", name_of(level));
  }
  return text;
}

std::string PlaySession::blocks_text(Beats at) const {
  std::string text;
  BlockFinder finder(loaded_.bound);
  const HoldingBlocks blocks = finder.at(at);
  for (const Level level : {Level::kSentence, Level::kPhrase, Level::kMotif}) {
    const Block* block = blocks[index_of(level)];
    if (block == nullptr) continue;
    const auto index = static_cast<std::size_t>(block - loaded_.bound.level(level).data());
    text += fmt::format("  {} {}", name_of(level), block_name(loaded_.bound, level, index));
  }
  return text;
}

std::string PlaySession::status(const LiveState& state) const {
  const Span span = passage_.excerpt.span;
  const Beats at = std::min(in_score(state.at), span.end - Beats{1e-6});
  const bool counting_in = at < span.begin;
  std::string line = counting_in ? std::string("counting in") : place_text(at);
  if (state.paused) line += "  paused";
  line += layers_text();
  if (state.round > 1) line += fmt::format("  round {}", state.round);
  return counting_in ? line : line + blocks_text(at);
}

std::string PlaySession::help() {
  return "space pause   left/right block   m p s w levels on/off   f flat/shaped   q quit";
}

}  // namespace arsis
