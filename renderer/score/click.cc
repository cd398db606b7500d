#include "score/click.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace arsis {
namespace {

constexpr std::uint8_t kFirstBeatKey = 76;
constexpr std::uint8_t kOtherBeatKey = 77;
constexpr double kFirstBeatVelocity = 100.0;  // both our choice: clear beside a mezzo-forte
constexpr double kOtherBeatVelocity = 76.0;
constexpr Seconds kLength{0.06};
// What a mad file can ask for; two hours of a click every 7 ms.
constexpr std::size_t kMostClicks = 1'000'000;

struct Click {
  Note note;
  PerformedNote played;
};

Click click_at(const Score& score, const TimeMap& time, Beats at, bool first) {
  Click click;
  click.note.onset = score.snapped(at);
  click.note.part = static_cast<std::uint16_t>(score.parts.size() - 1);
  click.note.key = first ? kFirstBeatKey : kOtherBeatKey;
  click.note.velocity = Velocity::clamped(first ? kFirstBeatVelocity : kOtherBeatVelocity);
  click.played.onset = time.seconds_at(at);
  click.played.end = click.played.onset + kLength;
  click.played.velocity = click.note.velocity;
  click.note.end =
      std::max(time.beats_at(click.played.end), click.note.onset + Beats{1.0 / score.division});
  return click;
}

void click_along(const ClickStretch& stretch, const Score& score, const TimeMap& time,
                 std::vector<Click>& clicks) {
  const Beats beat = counted_beat(stretch.signature);
  const auto per_bar = std::lround(stretch.signature.bar_length() / beat);
  const double skipped = std::ceil((stretch.span.begin - stretch.downbeat - kSameMoment) / beat);
  for (auto i = std::lround(std::max(0.0, skipped));; ++i) {
    const Beats at = stretch.downbeat + beat * static_cast<double>(i);
    if (at >= stretch.span.end - kSameMoment || clicks.size() >= kMostClicks) return;
    clicks.push_back(click_at(score, time, at, i % per_bar == 0));
  }
}

// Where beats are nearer to each other than a click is long, a click ends with the next.
void keep_apart(std::span<Click> clicks) {
  for (std::size_t i = 0; i + 1 < clicks.size(); ++i) {
    clicks[i].played.end = std::min(clicks[i].played.end, clicks[i + 1].played.onset);
    const Beats next = clicks[i + 1].note.onset;
    if (next > clicks[i].note.onset) clicks[i].note.end = std::min(clicks[i].note.end, next);
  }
}

// Notes stay by onset, then part; the click is the last part.
void merge(std::span<const Click> clicks, Score& score, Performance& performance) {
  std::vector<Note> notes;
  std::vector<PerformedNote> played;
  notes.reserve(score.notes.size() + clicks.size());
  played.reserve(score.notes.size() + clicks.size());
  std::size_t next = 0;
  const auto take_before = [&](Beats moment) {
    for (; next < clicks.size() && clicks[next].note.onset < moment; ++next) {
      notes.push_back(clicks[next].note);
      notes.back().sequence = static_cast<std::uint32_t>(next + 1);
      played.push_back(clicks[next].played);
    }
  };
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    take_before(score.notes[i].onset);
    notes.push_back(score.notes[i]);
    played.push_back(performance.notes[i]);
  }
  take_before({std::numeric_limits<double>::infinity()});
  score.notes = std::move(notes);
  performance.notes = std::move(played);
}

void add_name(Score& score, std::uint16_t track) {
  constexpr std::array<std::uint8_t, 7> kName = {0xFF, 0x03, 'c', 'l', 'i', 'c', 'k'};
  score.messages.push_back({.at = {0.0},
                            .first = static_cast<std::uint32_t>(score.message_bytes.size()),
                            .size = static_cast<std::uint32_t>(kName.size()),
                            .track = track});
  score.message_bytes.insert(score.message_bytes.end(), kName.begin(), kName.end());
}

}  // namespace

void add_click(Score& score, Performance& performance, std::span<const ClickStretch> stretches) {
  if (stretches.empty()) return;
  const auto track = static_cast<std::uint16_t>(score.tracks.size());
  score.tracks.push_back({"click", stretches.back().span.end});
  score.parts.push_back({"click", track, static_cast<int>(track) + 1, kDrumChannel});
  add_name(score, track);
  std::vector<Click> clicks;
  for (const ClickStretch& stretch : stretches) {
    click_along(stretch, score, performance.time, clicks);
  }
  keep_apart(clicks);
  merge(clicks, score, performance);
}

}  // namespace arsis
