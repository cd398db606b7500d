#include "tool/audition_session.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "tool/audition_live.h"
#include "tool/keep_reading.h"
#include "tool/report.h"

namespace arsis {
namespace {

// Whether one can be exchanged for the other in the middle (Player::change).
bool same_form(const Rendition& a, const Rendition& b) {
  return a.score.notes.size() == b.score.notes.size() &&
         a.score.messages.size() == b.score.messages.size();
}

}  // namespace

AuditionSession::AuditionSession(const Audition& audition, std::vector<Decibels> gains,
                                 std::string plan, bool once)
    : audition_(audition),
      readings_(audition.readings),
      gains_(std::move(gains)),
      made_(readings_.size()),
      plan_(std::move(plan)),
      once_(once) {
  PlayedReading first = played_reading(audition, readings_.front(), gains_.front());
  moved_ = first.moved;
  settings_ = first.settings;
  made_.front() = std::move(first.rendition);
}

std::shared_ptr<const Rendition> AuditionSession::made(std::size_t reading) {
  if (!made_[reading]) {
    made_[reading] = played_reading(audition_, readings_[reading], gains_[reading]).rendition;
  }
  return made_[reading];
}

std::shared_ptr<const Rendition> AuditionSession::rendition() { return made(now_); }

void AuditionSession::begin(std::size_t reading, LivePlayback& playback) {
  now_ = reading;
  ended_.reset();
  playback.begin(rendition(), settings_);
}

void AuditionSession::change_here(LivePlayback& playback) {
  const std::size_t next = (now_ + 1) % readings_.size();
  if (playback.state().done || !same_form(*rendition(), *made(next))) {
    return begin(next, playback);
  }
  now_ = next;
  playback.change(rendition());
}

void AuditionSession::keep(Terminal& terminal) {
  terminal.clear();
  if (!audition_.block) {
    report("two plans are compared: keep the one that you like by its name");
  } else if (audition_.loaded().is_score_alone) {
    report("there is no plan to keep it in: `arsis draft` writes one");
  } else if (heard().is_own) {
    report("the plan says so already");
  } else {
    const Result<Where> kept = keep_reading(plan_, *audition_.block, heard().reading);
    if (!kept) return report(kept.diagnostics());
    for (HeardReading& each : readings_) each.is_own = false;
    readings_[now_].is_own = true;
    report(fmt::format("{}:{}: {}: {}, from now on", kept->file, kept->line, audition_.passage,
                       heard().name));
  }
}

bool AuditionSession::press(KeyPress key, LivePlayback& playback, Terminal& terminal) {
  const std::size_t count = readings_.size();
  if (key.key == Key::kRight || key.letter == 'n') {
    begin((now_ + 1) % count, playback);
  } else if (key.key == Key::kLeft || key.letter == 'p') {
    begin((now_ + count - 1) % count, playback);
  } else if (key.letter == 'q') {
    return false;
  } else if (key.letter == ' ' || key.letter == '\n' || key.letter == '\r') {
    playback.state().paused ? playback.resume() : playback.pause();
  } else if (key.letter == 'h') {
    change_here(playback);
  } else if (key.letter == 'r') {
    again_ = !again_;
  } else if (key.letter == 'k') {
    keep(terminal);
  } else if (key.letter >= '1' && key.letter <= '9') {
    const auto reading = static_cast<std::size_t>(key.letter - '1');
    if (reading < count) begin(reading, playback);
  }
  return true;
}

bool AuditionSession::follow(const LiveState& state, LivePlayback& playback) {
  if (!state.done || state.paused) return true;
  const auto now = std::chrono::steady_clock::now();
  if (!ended_) ended_ = now;
  if (once_ && now_ + 1 == readings_.size()) return false;
  if (now - *ended_ >= kAfterReading)
    begin(again_ ? now_ : (now_ + 1) % readings_.size(), playback);
  return true;
}

std::string AuditionSession::status(const LiveState& state) const {
  const Span span = audition_.plan.passage.excerpt.span;
  const Beats at = std::min(state.at - moved_, span.end - Beats{1e-6});
  std::string line = fmt::format("{} of {}  {}{}", now_ + 1, readings_.size(), heard().name,
                                 heard().is_own ? " (as in the plan)" : "");
  if (at < span.begin) {
    line += "  counting in";
  } else {
    const Position position = audition_.loaded().score.bars.position_of(at);
    line += fmt::format("  {}:{}", position.bar, static_cast<int>(std::floor(position.beat)));
  }
  if (state.paused) line += "  paused";
  if (again_) line += "  again and again";
  return line;
}

std::string AuditionSession::list() const {
  std::string text = audition_.passage;
  for (std::size_t i = 0; i < readings_.size(); ++i) {
    text += fmt::format("\n  {:>2}  {}", i + 1,
                        line_of(readings_[i], audition_.loaded().is_score_alone));
  }
  return text;
}

std::string AuditionSession::help() const {
  return list() +
         "\n1 to 9, left/right a reading   h the next one here   r again and again   space pause  "
         " " +
         (audition_.block ? "k keep   q quit" : "q quit");
}

}  // namespace arsis
