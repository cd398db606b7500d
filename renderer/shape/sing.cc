#include "shape/sing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <vector>

#include "shape/arc.h"
#include "shape/ceiling.h"
#include "shape/energy.h"
#include "shape/level.h"
#include "shape/note_levels.h"
#include "shape/perform.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

constexpr Seconds kLongestGlide{0.12};
constexpr double kGlideShare = 0.4;  // of the interval between the onsets
constexpr Seconds kStep{0.012};      // of expression and bend
// Coarser steps where a score is longer than some hours of song, so that memory stays bounded.
constexpr double kMostSteps = 1e6;
constexpr int kFinestDivision = 960;
constexpr int kCentre = 8192;  // of the pitch bend
constexpr int kMostBend = 16383;
constexpr std::uint8_t kExpression = 11;

// Notes of the melody that are sung on one breath of one voice: indices into BoundPlan::melody.
struct Tone {
  std::size_t first = 0;
  std::size_t last = 0;
  int key = 60;  // that it holds, in the middle of its notes
};

struct Event {
  Beats at;
  std::uint8_t size = 0;  // of `bytes`; 0: a note
  std::array<std::uint8_t, 3> bytes{};
  std::uint32_t note = 0;
};

// The largest velocity (or expression) whose level is not above this one.
Velocity not_above(Decibels level) {
  const Velocity nearest = velocity_at(level);
  constexpr Decibels kRounding{1e-9};
  return level_of(nearest) <= level + kRounding || nearest.value() == 1
             ? nearest
             : Velocity::clamped(nearest.value() - 1);
}

class Singer {
 public:
  Singer(const Score& score, const BoundPlan& plan, const Layers& layers)
      : score_(score),
        plan_(plan),
        layers_(layers),
        shaped_(perform(score, plan, layers)),
        curves_(dynamic_curves(score, plan, time_grid(score, plan), layers)),
        finder_(plan),
        floor_(plan.tuning().decibels(Constant::kFloor)) {}

  Sung sing(Span span, std::uint8_t program) {
    head(program);
    const std::vector<Tone> tones = tones_in(span);
    choose_step(tones);
    for (std::size_t i = 0; i < tones.size(); ++i) {
      // Of one voice no two tones overlap.
      limit_ = i + 2 < tones.size() ? note(tones[i + 2].first).onset : Beats{Score::kLongest};
      add_tone(tones[i], i % 2);
    }
    finish();
    return std::move(sung_);
  }

 private:
  const Note& note(std::size_t place) const { return score_.notes[plan_.melody[place]]; }

  Beats snapped(Beats at) const { return sung_.score.snapped(at); }

  // What the score and its voice begin with.
  void head(std::uint8_t program) {
    Score& made = sung_.score;
    made.file = score_.file;
    made.title = score_.title;
    made.division =
        score_.division * std::max(1, (kFinestDivision + score_.division - 1) / score_.division);
    made.tracks = {{"voice", score_.end()}};
    made.parts = {{"voice", 0, 1, 0}, {"voice", 0, 1, 1}};
    made.bars = score_.bars;
    made.tempo = score_.tempo;
    made.signatures = score_.signatures;
    made.keys = score_.keys;
    sung_.performance.time = shaped_.performance.time;
    copy_signatures();
    for (std::uint8_t channel = 0; channel < 2; ++channel) {
      const auto control = static_cast<std::uint8_t>(0xB0 | channel);
      // Registered parameter 0 gets the range in semitones; then none is chosen any more.
      constexpr std::array<std::array<std::uint8_t, 2>, 6> kRange = {
          {{101, 0}, {100, 0}, {6, kBendRange}, {38, 0}, {101, 127}, {100, 127}}};
      add({{0.0}, 2, {static_cast<std::uint8_t>(0xC0 | channel), program, 0}});
      for (const auto& [controller, value] : kRange) add({{0.0}, 3, {control, controller, value}});
    }
  }

  // The score's own time and key signatures, which its reader and a notation program look for.
  void copy_signatures() {
    for (const Message& message : score_.messages) {
      const auto bytes = score_.bytes_of(message);
      const bool kept =
          bytes.size() > 1 && bytes[0] == 0xFF && (bytes[1] == 0x58 || bytes[1] == 0x59);
      if (kept) store(message.at, bytes);
    }
  }

  void store(Beats at, std::span<const std::uint8_t> bytes) {
    Score& made = sung_.score;
    made.messages.push_back({.at = at,
                             .first = static_cast<std::uint32_t>(made.message_bytes.size()),
                             .size = static_cast<std::uint32_t>(bytes.size())});
    made.message_bytes.insert(made.message_bytes.end(), bytes.begin(), bytes.end());
  }

  bool detached(std::size_t place) const {
    const MarkSet marks = plan_.marks_of(plan_.melody[place]);
    return marks.has(Mark::kStaccato) || marks.has(Mark::kStaccatissimo) ||
           marks.has(Mark::kPortato);
  }

  const Block* motif_at(Beats moment) { return finder_.at(moment)[index_of(Level::kMotif)]; }

  // Whether `place` goes on in the tone of the note before it.
  bool joined(std::size_t place, int lowest, int highest) {
    const Note& before = note(place - 1);
    const Note& now = note(place);
    const Beats slack = (now.onset - before.onset) * plan_.tuning().share(Constant::kSlack);
    return motif_at(before.onset) != nullptr && motif_at(before.onset) == motif_at(now.onset) &&
           before.end >= now.onset - slack && before.key != now.key && !detached(place - 1) &&
           highest - lowest <= 2 * kBendRange - 2;
  }

  std::vector<Tone> tones_in(Span span) {
    std::vector<Tone> tones;
    int lowest = 0;
    int highest = 0;
    for (std::size_t i = 0; i < plan_.melody.size(); ++i) {
      if (!span.holds(note(i).onset)) continue;
      const int key = note(i).key;
      const bool goes_on = !tones.empty() && tones.back().last + 1 == i &&
                           joined(i, std::min(lowest, key), std::max(highest, key));
      if (goes_on) {
        tones.back().last = i;
        lowest = std::min(lowest, key);
        highest = std::max(highest, key);
      } else {
        tones.push_back({i, i, key});
        lowest = highest = key;
      }
      tones.back().key = (lowest + highest) / 2;
    }
    return tones;
  }

  double seconds_per_quarter(Beats at) const {
    return static_cast<double>(score_.tempo.microseconds_per_quarter_at(at)) * 1e-6;
  }

  void choose_step(const std::vector<Tone>& tones) {
    double steps = 0.0;
    for (const Tone& tone : tones) {
      const Beats length = note(tone.last).end - note(tone.first).onset;
      steps += length.value * seconds_per_quarter(note(tone.first).onset) / kStep.value;
    }
    step_ = kStep * std::max(1.0, steps / kMostSteps);
  }

  // From one step to the next, in whole ticks.
  Beats step_at(Beats at) const {
    const Beats tick{1.0 / sung_.score.division};
    return std::max(snapped({step_.value / seconds_per_quarter(at)}), tick);
  }

  // The model's level at a moment within a note of the melody.
  Decibels level_at(std::size_t place, Beats at) {
    const Note& now = note(place);
    const BoundPart& part = plan_.parts[now.part];
    const NoteLevel& level = shaped_.levels[plan_.melody[place]];
    const bool written = !plan_.dynamics[part.dynamics].empty();
    const Decibels ceiling = written ? curves_.ceilings[part.dynamics].at(at) : level.ceiling;
    const ArcLoss arcs = arc_loss(plan_, finder_.at(at), at, layers_);
    Decibels sounding = arc_level(ceiling, arcs, floor_) - curves_.withheld[part.dynamics].at(at);
    if (layers_.touch) sounding += part.balance;
    const double into = std::clamp((at - now.onset) / now.length(), 0.0, 1.0);
    return std::min(sounding + level.lift * (1.0 - into), Decibels{0.0});
  }

  void add(Event event) { events_.push_back(event); }

  void add_expression(std::size_t voice, Beats at, Decibels level) {
    add({at,
         3,
         {static_cast<std::uint8_t>(0xB0 | voice), kExpression,
          static_cast<std::uint8_t>(not_above(level).value())}});
  }

  // `semitones` over the key that the tone holds.
  void add_bend(std::size_t voice, Beats at, double semitones) {
    const double bend = std::round(kCentre * (1.0 + semitones / kBendRange));
    const int value = std::clamp(static_cast<int>(bend), 0, kMostBend);
    add({at,
         3,
         {static_cast<std::uint8_t>(0xE0 | voice), static_cast<std::uint8_t>(value & 0x7F),
          static_cast<std::uint8_t>(value >> 7)}});
  }

  void add_tone(const Tone& tone, std::size_t voice) {
    const Beats begin = note(tone.first).onset;
    const Beats end = std::min(note(tone.last).end, limit_);
    struct Moment {
      Beats at;
      Decibels level;
    };
    std::vector<Moment> moments;
    std::size_t place = tone.first;
    for (Beats at = begin; at < end;) {
      moments.push_back({at, level_at(place, at)});
      at = snapped(at + step_at(at));
      // An onset is a step of its own: what follows it must not wait.
      if (place < tone.last && note(place + 1).onset <= at) at = note(++place).onset;
    }
    const Decibels loudest = std::ranges::max(moments, {}, &Moment::level).level;
    // What the velocity's whole numbers add, expression takes away again.
    Velocity velocity = velocity_at(loudest);
    if (level_of(velocity) < loudest) velocity = Velocity::clamped(velocity.value() + 1);
    for (const Moment& moment : moments) {
      add_expression(voice, moment.at, std::min(moment.level - level_of(velocity), Decibels{0.0}));
    }
    add_bend(voice, begin, note(tone.first).key - tone.key);
    for (std::size_t i = tone.first + 1; i <= tone.last; ++i) add_glide(i, tone.key, voice);
    add_note(tone, voice, velocity);
  }

  void add_glide(std::size_t place, int held_key, std::size_t voice) {
    const Beats goal = note(place).onset;
    const Beats interval = goal - note(place - 1).onset;
    const Beats longest{kLongestGlide.value / seconds_per_quarter(goal)};
    const Beats begin = snapped(goal - std::min(longest, interval * kGlideShare));
    const int from = note(place - 1).key;
    const int by = note(place).key - from;
    for (Beats at = snapped(begin + step_at(begin)); at < goal; at = snapped(at + step_at(at))) {
      add_bend(voice, at, from + by * arc(at, {begin, goal}, goal) - held_key);
    }
    add_bend(voice, goal, note(place).key - held_key);
  }

  void add_note(const Tone& tone, std::size_t voice, Velocity velocity) {
    const PerformedNote& first = shaped_.performance.notes[plan_.melody[tone.first]];
    const PerformedNote& last = shaped_.performance.notes[plan_.melody[tone.last]];
    Note sung;
    sung.onset = note(tone.first).onset;
    sung.end = std::min(note(tone.last).end, limit_);
    sung.part = static_cast<std::uint16_t>(voice);
    sung.key = static_cast<std::uint8_t>(tone.key);
    sung.velocity = velocity;
    Event event;
    event.at = sung.onset;
    event.note = static_cast<std::uint32_t>(sung_.score.notes.size());
    add(event);
    sung_.score.notes.push_back(sung);
    const Seconds latest = shaped_.performance.time.seconds_at(limit_);
    sung_.performance.notes.push_back(
        {.onset = first.onset, .end = std::min(last.end, latest), .velocity = velocity});
  }

  // Everything in order, numbered as in a file.
  void finish() {
    std::ranges::stable_sort(events_, {}, &Event::at);
    std::uint32_t sequence = static_cast<std::uint32_t>(sung_.score.messages.size());
    for (std::uint32_t i = 0; i < sequence; ++i) sung_.score.messages[i].sequence = i;
    for (const Event& event : events_) {
      if (event.size == 0) {
        sung_.score.notes[event.note].sequence = sequence++;
        continue;
      }
      store(event.at, std::span(event.bytes).first(event.size));
      sung_.score.messages.back().sequence = sequence++;
    }
    std::ranges::stable_sort(sung_.score.messages, {}, &Message::at);
  }

  const Score& score_;
  const BoundPlan& plan_;
  const Layers& layers_;
  Shaped shaped_;
  DynamicCurves curves_;
  BlockFinder finder_;
  Decibels floor_;
  Seconds step_ = kStep;
  Beats limit_;  // where the tone at hand must have ended
  Sung sung_;
  std::vector<Event> events_;
};

}  // namespace

Sung sing(const Score& score, const BoundPlan& plan, const Layers& layers, Span span,
          std::uint8_t program) {
  return Singer(score, plan, layers).sing(span, program);
}

}  // namespace arsis
