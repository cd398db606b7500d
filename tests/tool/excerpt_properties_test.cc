// What holds for every passage of every performance, and for the MIDI files made of it.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "property.h"
#include "score/excerpt.h"
#include "score/key_rows.h"
#include "shape/perform.h"
#include "shape/random_music.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

using test::any;

constexpr int kCases = 1'000;

struct Passage {
  test::Music music;
  Performance whole;
  ExcerptRequest request;
  Excerpt excerpt;
};

ExcerptRequest random_request(const Score& score) {
  ExcerptRequest request;
  const int halves = static_cast<int>(score.bars.all().back().span.end.value * 2.0);
  const int begin = any(0, halves);
  request.span = {{begin / 2.0}, {any(begin, halves) / 2.0 + 0.5}};
  if (any(0, 4) == 0) request.span.begin += Beats{0.25 / 3.0};  // a place of no signature
  if (any(0, 3) == 0) {
    request.parts = {Hearing::kHeard, *rc::gen::element(Hearing::kLeftOut, Hearing::kSilent)};
    if (any(0, 2) == 0) std::swap(request.parts[0], request.parts[1]);
  }
  request.count_in = *rc::gen::element(0, 0, 1, 2);
  request.click = any(0, 2) == 0;
  return request;
}

Passage random_passage() {
  Passage passage;
  passage.music = test::random_music({.most_bars = 8});
  if (any(0, 4) == 0) passage.music.score.parts[1].channel = 0;
  passage.request = random_request(passage.music.score);
  Layers layers = test::random_layers();
  layers.parts = passage.request.parts;
  passage.whole = perform(passage.music.score, passage.music.bound, layers).performance;
  passage.excerpt = excerpt_of(passage.music.score, passage.whole, passage.request);
  return passage;
}

bool is_click(const Score& score, const Note& note) {
  return score.parts[note.part].name == "click";
}

TEST(EveryExcerpt, HasEachNoteOfThePassageOnce) {
  EXPECT_TRUE(test::holds(kCases, [] {
    const Passage passage = random_passage();
    const test::Music& music = passage.music;
    const Performance& whole = passage.whole;
    const ExcerptRequest& request = passage.request;
    const Excerpt& excerpt = passage.excerpt;
    const std::size_t first_part =
        !request.parts.empty() && request.parts[0] == Hearing::kLeftOut ? 1 : 0;
    std::size_t next = 0;
    const auto skip_clicks = [&] {
      while (next < excerpt.score.notes.size() &&
             is_click(excerpt.score, excerpt.score.notes[next])) {
        ++next;
      }
    };
    double first_shift = 0.0;
    bool any_met = false;
    for (std::size_t i = 0; i < music.score.notes.size(); ++i) {
      const Note& note = music.score.notes[i];
      const bool left_out = !request.parts.empty() && request.parts[note.part] == Hearing::kLeftOut;
      if (!request.span.holds(note.onset) || left_out) continue;
      skip_clicks();
      RC_ASSERT(next < excerpt.score.notes.size());
      const Note& here = excerpt.score.notes[next];
      const PerformedNote& played = excerpt.performance.notes[next++];
      RC_ASSERT(here.key == note.key);
      RC_ASSERT(here.part == note.part - first_part);
      RC_ASSERT(here.onset == note.onset + excerpt.moved);
      RC_ASSERT(played.velocity == whole.notes[i].velocity);
      RC_ASSERT(played.sounds == whole.notes[i].sounds);
      // The passage's own time is the performance's, begun anew.
      const double shift = (played.onset - whole.notes[i].onset).value;
      if (!any_met) first_shift = shift;
      any_met = true;
      RC_ASSERT(std::abs(shift - first_shift) < 1e-9);
    }
    skip_clicks();
    RC_ASSERT(next == excerpt.score.notes.size());
  }));
}

TEST(EveryExcerpt, IsAPerformanceOfAScore) {
  EXPECT_TRUE(test::holds(kCases, [] {
    const Passage passage = random_passage();
    const ExcerptRequest& request = passage.request;
    const Excerpt& excerpt = passage.excerpt;
    const Score& score = excerpt.score;
    RC_ASSERT(score.notes.size() == excerpt.performance.notes.size());
    RC_ASSERT(std::ranges::is_sorted(
        score.notes, {}, [](const Note& note) { return std::tuple(note.onset, note.part); }));
    RC_ASSERT(std::ranges::is_sorted(score.messages, {}, [](const Message& message) {
      return std::tuple(message.at, message.track);
    }));
    std::map<std::size_t, Seconds> down_until;
    std::vector<std::size_t> order(score.notes.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::ranges::stable_sort(order, {},
                             [&](std::size_t i) { return excerpt.performance.notes[i].onset; });
    for (const std::size_t i : order) {
      const PerformedNote& played = excerpt.performance.notes[i];
      RC_ASSERT(played.onset.value >= 0.0);
      RC_ASSERT(played.end > played.onset);
      RC_ASSERT(score.notes[i].end > score.notes[i].onset);
      RC_ASSERT(score.notes[i].end <=
                request.span.end + excerpt.moved + Beats{1.0});  // a last click may outlast it
      if (!played.sounds) continue;
      Seconds& until = down_until[channel_key(score, i)];
      RC_ASSERT(played.onset >= until - Seconds{1e-12});
      until = played.end;
    }
  }));
}

TEST(EveryExcerpt, IsTheSameForTheSameInput) {
  EXPECT_TRUE(test::holds(kCases / 5, [] {
    const Passage passage = random_passage();
    const Excerpt again = excerpt_of(passage.music.score, passage.whole, passage.request);
    for (const TimingForm form : {TimingForm::kTempoMap, TimingForm::kTicks}) {
      const auto once =
          write_midi(midi_of(passage.excerpt.score, passage.excerpt.performance, form), "a.mid");
      const auto twice = write_midi(midi_of(again.score, again.performance, form), "a.mid");
      RC_ASSERT(static_cast<bool>(once));
      RC_ASSERT(*once == *twice);
    }
  }));
}

// The onsets of every key of every channel, in order of time.
using Onsets = std::map<std::pair<int, int>, std::vector<double>>;

// Every onset of the file within a tick of the performance's.
void check_onsets(const Excerpt& excerpt, const MidiFile& file, const Score& read) {
  Onsets wanted;
  for (std::size_t i = 0; i < excerpt.score.notes.size(); ++i) {
    const PerformedNote& played = excerpt.performance.notes[i];
    if (!played.sounds) continue;
    const Note& note = excerpt.score.notes[i];
    wanted[{excerpt.score.parts[note.part].channel, note.key}].push_back(played.onset.value);
  }
  Onsets found;
  double longest_tick = 0.0;
  for (const TempoChange& change : read.tempo.changes()) {
    longest_tick = std::max(
        longest_tick, static_cast<double>(change.microseconds_per_quarter) * 1e-6 / file.division);
  }
  for (const Note& note : read.notes) {
    found[{read.parts[note.part].channel, note.key}].push_back(
        read.tempo.seconds_at(note.onset).value);
  }
  RC_ASSERT(found.size() == wanted.size());
  for (auto& [key, onsets] : wanted) {
    std::ranges::sort(onsets);
    std::vector<double>& there = found[key];
    std::ranges::sort(there);
    RC_ASSERT(there.size() == onsets.size());
    for (std::size_t i = 0; i < onsets.size(); ++i) {
      RC_ASSERT(std::abs(there[i] - onsets[i]) <= longest_tick);
    }
  }
}

void check_bars(const Score& score, const Score& read) {
  const auto bars = score.bars.all();
  const auto there = read.bars.all();
  for (std::size_t i = 0; i < std::min(bars.size(), there.size()); ++i) {
    RC_ASSERT(there[i].number == bars[i].number);
    RC_ASSERT(std::abs((there[i].span.begin - bars[i].span.begin).value) < 1e-3);
    RC_ASSERT(there[i].signature == bars[i].signature);
  }
}

TEST(EveryExcerpt, ComesBackFromItsMidiFile) {
  EXPECT_TRUE(test::holds(kCases, [] {
    const Passage passage = random_passage();
    const Excerpt& excerpt = passage.excerpt;
    RC_PRE(!excerpt.score.notes.empty());
    for (const TimingForm form : {TimingForm::kTempoMap, TimingForm::kTicks}) {
      const MidiFile file = midi_of(excerpt.score, excerpt.performance, form);
      const Result<Score> read = score_of(file, "a.mid");
      RC_ASSERT(static_cast<bool>(read));
      check_onsets(excerpt, file, *read);
      if (form == TimingForm::kTempoMap) check_bars(excerpt.score, *read);
      const bool clicks = std::ranges::any_of(
          excerpt.score.notes, [&](const Note& note) { return is_click(excerpt.score, note); });
      RC_ASSERT(std::ranges::any_of(read->parts, [](const Part& part) {
                  return part.name == "click" && part.channel == 9;
                }) == clicks);
    }
  }));
}

}  // namespace
}  // namespace arsis
