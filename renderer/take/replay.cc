#include "take/replay.h"

#include <algorithm>
#include <array>
#include <limits>
#include <optional>

#include "take/passages.h"

namespace arsis {
namespace {

constexpr double kReplayBeats = 2.0;  // a second, at the tempo of a score that names none

// A moment of the score that lies just before another, for the cursor to leap from.
constexpr Beats kJustBefore{1e-3};

// Written onset of each played note that stands for one.
std::vector<std::optional<Beats>> written_onsets(const Score& score, const Take& take,
                                                 const Alignment& alignment) {
  std::vector<std::optional<Beats>> onsets(take.notes.size());
  for (const auto* pairs : {&alignment.pairs, &alignment.earlier, &alignment.wrong}) {
    for (const NotePair& pair : *pairs) onsets[pair.played] = score.notes[pair.score].onset;
  }
  return onsets;
}

// A stretch as it is taken over: its time in the take and the notes in it.
struct Cut {
  LastPlayed played;
  Seconds from;   // of its first beat
  Seconds until;  // of its last
  std::vector<std::uint32_t> notes;
};

class Replayer {
 public:
  Replayer(const Score& score, const Take& take, const Alignment& alignment)
      : take_(take), alignment_(alignment), written_(written_onsets(score, take, alignment)) {
    made_.score.file = take.file;
    made_.score.parts.push_back({});
    made_.score.tracks.push_back({});
  }

  void set_program(std::uint8_t program) { add_message({}, {0xC0, program}, 2); }

  void add(const LastPlayed& played) {
    const Cut cut = cut_of(played);
    if (cut.notes.empty()) return;
    Seconds early;
    for (const std::uint32_t i : cut.notes) {
      early = std::max(early, cut.from - take_.notes[i].onset);
    }
    const Seconds origin = end_ + kReplayPause + early;
    const Seconds moved = origin - cut.from;
    add_pedals(cut, moved);
    for (const std::uint32_t i : cut.notes) add_note(take_.notes[i], moved, cut.until);
    add_knots(cut, moved);
    end_ = std::max(end_ + kReplayPause, cut.until + moved);
  }

  Replay take() {
    if (!knots_.empty() && knots_.front().beat > Beats{}) {
      knots_.insert(knots_.begin(), TimeMap::Knot{Beats{}, Seconds{}});
    }
    if (knots_.size() == 1) add_knot(knots_[0].beat + Beats{1.0}, knots_[0].second + Seconds{0.5});
    if (!knots_.empty()) made_.time = TimeMap(std::move(knots_));
    made_.score.tracks[0].end = made_.score.end();
    return std::move(made_);
  }

 private:
  const PlayedStretch& stretch(const LastPlayed& played) const {
    return alignment_.stretches[played.stretch];
  }

  Cut cut_of(const LastPlayed& played) const {
    const PlayedStretch& whole = stretch(played);
    Cut cut{played,
            seconds_at(whole.curve, played.span.begin),
            seconds_at(whole.curve, played.span.end),
            {}};
    const bool to_its_end = played.span.end >= whole.score.end - kSameMoment;
    for (std::uint32_t i = whole.first_played; i < whole.end_played; ++i) {
      const PlayedNote& note = take_.notes[i];
      const bool inside = written_[i] ? *written_[i] >= played.span.begin - kSameMoment &&
                                            *written_[i] < played.span.end - kSameMoment
                                      : note.onset >= cut.from && note.onset < cut.until;
      if (!inside) continue;
      cut.notes.push_back(i);
      // The last notes ring as long as they were held.
      cut.until = std::max(cut.until, to_its_end ? note.end : note.onset + kShortest);
    }
    return cut;
  }

  void add_message(Seconds at, std::array<std::uint8_t, 3> bytes, std::uint32_t size) {
    Score& score = made_.score;
    Message message;
    message.at = Beats{at.value * kReplayBeats};
    message.sequence = sequence_++;
    message.first = static_cast<std::uint32_t>(score.message_bytes.size());
    message.size = size;
    score.messages.push_back(message);
    score.message_bytes.insert(score.message_bytes.end(), bytes.begin(), bytes.begin() + size);
  }

  // Each pedal as it stood when the stretch began, and its changes; up at the end.
  void add_pedals(const Cut& cut, Seconds moved) {
    std::array<std::uint8_t, 128> standing{};
    auto pedal = take_.pedals.begin();
    for (; pedal != take_.pedals.end() && pedal->at <= cut.from; ++pedal) {
      standing[pedal->controller] = pedal->value;
    }
    const auto change = [&](Seconds at, std::size_t controller, std::uint8_t value) {
      add_message(at, {0xB0, static_cast<std::uint8_t>(controller), value}, 3);
      standing[controller] = value;
    };
    for (std::size_t i = 0; i < standing.size(); ++i) {
      if (standing[i] > 0) change(cut.from + moved, i, standing[i]);
    }
    for (; pedal != take_.pedals.end() && pedal->at < cut.until; ++pedal) {
      change(pedal->at + moved, pedal->controller, pedal->value);
    }
    for (std::size_t i = 0; i < standing.size(); ++i) {
      if (standing[i] > 0) change(cut.until + moved, i, 0);
    }
  }

  void add_note(const PlayedNote& note, Seconds moved, Seconds until) {
    const Seconds onset = note.onset + moved;
    Seconds end = std::max(std::min(note.end, until) + moved, onset + kShortest);
    if (std::optional<std::size_t>& before = sounding_[note.key]) {
      // Two channels of a take may hold one key at a time.
      PerformedNote& held = made_.performance.notes[*before];
      if (held.end > onset) held.end = onset;
      if (held.end <= held.onset) held = {held.onset, held.onset + kShortest, held.velocity, false};
    }
    Note written;
    written.onset = Beats{onset.value * kReplayBeats};
    written.end = Beats{end.value * kReplayBeats};
    written.sequence = sequence_++;
    written.key = note.key;
    written.velocity = note.velocity;
    sounding_[note.key] = made_.performance.notes.size();
    made_.score.notes.push_back(written);
    made_.performance.notes.push_back({onset, end, note.velocity, true});
  }

  // Only what rises in both.
  void add_knot(Beats beat, Seconds second) {
    if (!knots_.empty() &&
        (beat <= knots_.back().beat + kSameMoment || second <= knots_.back().second)) {
      return;
    }
    knots_.push_back({beat, second});
  }

  void add_knots(const Cut& cut, Seconds moved) {
    const Span span = cut.played.span;
    add_knot(span.begin, cut.from + moved);
    for (const TimeMap::Knot& knot : stretch(cut.played).curve) {
      if (knot.beat <= span.begin || knot.beat >= span.end - kJustBefore) continue;
      add_knot(knot.beat, knot.second + moved);
    }
    const Beats last = span.end - kJustBefore;
    add_knot(last, seconds_at(stretch(cut.played).curve, last) + moved);
  }

  static constexpr Seconds kShortest{0.01};  // of a note, our choice

  const Take& take_;
  const Alignment& alignment_;
  std::vector<std::optional<Beats>> written_;
  Replay made_;
  std::array<std::optional<std::size_t>, 128> sounding_;  // index of a key's last note
  std::vector<TimeMap::Knot> knots_;
  std::uint32_t sequence_ = 0;
  Seconds end_;
};

// Of the part's channel, the first; the usual one, a piano, where there is none.
std::uint8_t program_of(const Score& score, const Part& part) {
  for (const Message& message : score.messages) {
    const auto bytes = score.bytes_of(message);
    if (bytes.size() == 2 && bytes[0] == (0xC0 | part.channel)) return bytes[1];
  }
  return 0;
}

}  // namespace

std::vector<LastPlayed> last_played(const Alignment& alignment, Span passage) {
  std::vector<LastPlayed> all;
  for (std::uint32_t i = 0; i < alignment.stretches.size(); ++i) {
    const Span fresh = alignment.stretches[i].score;
    std::vector<LastPlayed> left;
    for (const LastPlayed& each : all) {
      const Span before{each.span.begin, std::min(each.span.end, fresh.begin)};
      const Span after{std::max(each.span.begin, fresh.end), each.span.end};
      if (before.begin < before.end) left.push_back({before, each.stretch});
      if (after.begin < after.end) left.push_back({after, each.stretch});
    }
    left.push_back({fresh, i});
    all = std::move(left);
  }
  std::vector<LastPlayed> inside;
  for (const LastPlayed& each : all) {
    const Span span{std::max(each.span.begin, passage.begin), std::min(each.span.end, passage.end)};
    if (span.end - span.begin > kSameMoment) inside.push_back({span, each.stretch});
  }
  std::ranges::sort(inside, {}, [](const LastPlayed& each) { return each.span.begin; });
  return inside;
}

Replay replay_of(const Score& score, const BoundPlan& plan, const Take& take,
                 const Alignment& alignment, Span passage) {
  Replayer replayer(score, take, alignment);
  if (!plan.melody.empty()) {
    replayer.set_program(program_of(score, score.parts[score.notes[plan.melody[0]].part]));
  }
  for (const LastPlayed& each : last_played(alignment, passage)) replayer.add(each);
  return replayer.take();
}

}  // namespace arsis
