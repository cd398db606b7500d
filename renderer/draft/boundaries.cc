#include "draft/boundaries.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <utility>

#include "draft/cadence.h"

namespace arsis {
namespace {

// A gap of this share of the interval is none: the same as `touch: slack` has it.
constexpr double kSlack = 0.12;

std::vector<MelodyNote> melody_line(const Material& material) {
  std::vector<MelodyNote> line;
  line.reserve(material.bound.melody.size());
  for (const std::size_t index : material.bound.melody) {
    const Note& note = material.score.notes[index];
    line.push_back({note.onset, note.end, note.key});
  }
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Beats next = line[i + 1].onset;
    if (rest_after(line, i) <= interval_after(line, i) * kSlack) line[i].end = next;
    line[i].end = std::min(line[i].end, next);
  }
  return line;
}

// The last note that begins before the moment; -1 where there is none.
std::ptrdiff_t last_before(const std::vector<MelodyNote>& line, Beats at) {
  const auto found = std::ranges::lower_bound(line, at - kSameMoment, {}, &MelodyNote::onset);
  return found - line.begin() - 1;
}

// The note that begins at the moment; -1 where none does.
std::ptrdiff_t note_at(const std::vector<MelodyNote>& line, Beats at) {
  const std::ptrdiff_t next = last_before(line, at) + 1;
  if (next >= std::ssize(line)) return -1;
  return same_moment(line[static_cast<std::size_t>(next)].onset, at) ? next : -1;
}

// The mean of all intervals up to four times their median: an interlude must not make every note a
// short one. Of fewer than two notes 1 quarter note.
Beats usual_interval(const std::vector<MelodyNote>& line) {
  if (line.size() < 2) return {1.0};
  std::vector<Beats> intervals;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) intervals.push_back(interval_after(line, i));
  const auto middle = intervals.begin() + std::ssize(intervals) / 2;
  std::ranges::nth_element(intervals, middle);
  const Beats longest = *middle * 4.0 + kSameMoment;
  Beats sum;
  double count = 0.0;
  for (const Beats interval : intervals) {
    if (interval > longest) continue;
    sum += interval;
    count += 1.0;
  }
  return sum / count;
}

double long_note(const BoundarySurvey& survey, std::size_t index) {
  const std::vector<MelodyNote>& line = survey.line;
  const Beats interval = interval_after(line, index);
  const Beats before = index > 0 ? interval_after(line, index - 1) : interval;
  const Beats after = index + 2 < line.size() ? interval_after(line, index + 1)
                                              : line.back().end - line.back().onset;
  constexpr double kMeanNote = 500.0;  // gap_score() of a note of mean length
  const double gap = gap_score(interval, {0.0}, survey.usual_interval) / kMeanNote;
  const double against_mean = std::clamp((gap - 1.0) / 2.0, 0.0, 1.0);
  return 0.5 * against_mean + 0.5 * proximity(before, interval, after);
}

double leap(const std::vector<MelodyNote>& line, std::size_t index) {
  const auto interval = [&](std::size_t i) {
    return i + 1 < line.size() ? line[i + 1].key - line[i].key : 0;
  };
  const double fifths = std::min(1.0, std::abs(interval(index)) / 7.0);
  return fifths *
         register_change(index > 0 ? interval(index - 1) : 0, interval(index), interval(index + 1));
}

// Two notes of one length, then two of another.
double new_pace(const std::vector<MelodyNote>& line, std::size_t index) {
  if (index == 0 || index + 3 >= line.size()) return 0.0;
  const Beats before = interval_after(line, index);
  const Beats after = interval_after(line, index + 1);
  if (!same_moment(interval_after(line, index - 1), before)) return 0.0;
  if (!same_moment(interval_after(line, index + 2), after)) return 0.0;
  return length_change(before, after);
}

void hear_the_line(const Material& material, BoundarySurvey& survey) {
  const std::vector<MelodyNote>& line = survey.line;
  const std::vector<double> changes = local_boundaries(line);
  const std::vector<double> closes = cadences(material.score, line, survey.usual_interval);
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    Cues& cues = survey.after[i];
    cue_of(cues, Cue::kRest) = std::min(1.0, rest_after(line, i) / survey.usual_interval);
    cue_of(cues, Cue::kLongNote) = long_note(survey, i);
    cue_of(cues, Cue::kLeap) = leap(line, i);
    cue_of(cues, Cue::kPace) = new_pace(line, i);
    cue_of(cues, Cue::kChange) = changes[i];
    cue_of(cues, Cue::kCadence) = closes[i];
    const double length = interval_after(line, i) / survey.usual_interval;
    if ((line[i].key - line.back().key) % 12 == 0) {
      cue_of(cues, Cue::kHome) = std::clamp(length - 1.0, 0.0, 1.0);
    }
  }
}

bool is_melody(const Material& material, std::size_t part) {
  return material.bound.parts[part].role == Role::kMelody;
}

void read_slurs(const Material& material, BoundarySurvey& survey) {
  std::vector<int> deeper(survey.line.size() + 1);  // slurs that open there, less those that close
  for (const PrintedSlur& slur : material.printed.slurs) {
    const Note& first = material.score.notes[slur.first];
    const Note& last = material.score.notes[slur.last];
    if (!is_melody(material, first.part) || last.onset <= first.onset) continue;
    const std::ptrdiff_t end = note_at(survey.line, last.onset);
    const std::ptrdiff_t begin = last_before(survey.line, first.onset) + 1;
    if (end < 0 || begin >= end) continue;
    if (end < std::ssize(survey.after)) {
      cue_of(survey.after[static_cast<std::size_t>(end)], Cue::kSlurEnd) = 1.0;
    }
    ++deeper[static_cast<std::size_t>(begin)];
    --deeper[static_cast<std::size_t>(end)];
  }
  int depth = 0;
  for (std::size_t i = 0; i < survey.after.size(); ++i) {
    depth += deeper[i];
    if (depth > 0) cue_of(survey.after[i], Cue::kCutSlur) = 1.0;
  }
}

void read_pauses(const Material& material, BoundarySurvey& survey) {
  const auto mark = [&](Beats before, Cue cue) {
    const std::ptrdiff_t note = last_before(survey.line, before);
    if (note < 0 || note >= std::ssize(survey.after)) return;
    cue_of(survey.after[static_cast<std::size_t>(note)], cue) = 1.0;
  };
  for (const Fermata& fermata : material.bound.fermatas) mark(fermata.span.end, Cue::kFermata);
  for (const BreathMark& breath : material.bound.breaths) {
    bool in_melody = false;
    for (std::size_t part = 0; part < breath.parts.size(); ++part) {
      in_melody = in_melody || (breath.parts[part] && is_melody(material, part));
    }
    if (in_melody) mark(breath.at, Cue::kBreath);
  }
}

// A mark counts by its distance from what held before, in steps; a hairpin counts half.
void read_dynamics(const Material& material, BoundarySurvey& survey) {
  std::vector<bool> is_read(material.bound.dynamics.size());
  for (std::size_t part = 0; part < material.bound.parts.size(); ++part) {
    const std::size_t index = material.bound.parts[part].dynamics;
    if (!is_melody(material, part) || index >= is_read.size() || is_read[index]) continue;
    is_read[index] = true;
    const DynamicLine& stretches = material.bound.dynamics[index];
    for (std::size_t i = 1; i < stretches.size(); ++i) {
      const int steps = std::abs(stretches[i].begin_step - stretches[i - 1].end_step);
      const double by_hairpin = stretches[i].is_hairpin() ? 0.5 : 0.0;
      const double strength = std::max(by_hairpin, std::min(1.0, steps / 2.0));
      if (strength > 0.0) survey.events.push_back({stretches[i].from, Cue::kDynamics, strength});
    }
  }
}

void read_signatures(const Material& material, BoundarySurvey& survey) {
  const std::vector<KeySignature>& keys = material.score.keys;
  for (std::size_t i = 1; i < keys.size(); ++i) {
    if (keys[i].sharps == keys[i - 1].sharps && keys[i].minor == keys[i - 1].minor) continue;
    survey.events.push_back({keys[i].at, Cue::kKey});
  }
  const auto bars = material.score.bars.all();
  for (std::size_t i = 1; i < bars.size(); ++i) {
    if (bars[i].signature == bars[i - 1].signature) continue;
    survey.events.push_back({bars[i].span.begin, Cue::kMetre});
  }
}

}  // namespace

BoundarySurvey survey_boundaries(const Material& material) {
  BoundarySurvey survey;
  survey.line = melody_line(material);
  survey.usual_interval = usual_interval(survey.line);
  if (survey.line.empty()) return survey;
  survey.after.resize(survey.line.size() - 1);
  hear_the_line(material, survey);
  read_slurs(material, survey);
  read_pauses(material, survey);
  read_dynamics(material, survey);
  read_signatures(material, survey);
  std::ranges::stable_sort(survey.events, {}, &BoundaryEvent::at);
  for (const Cues& cues : survey.after) survey.usual += strength(cues);
  if (!survey.after.empty()) survey.usual /= static_cast<double>(survey.after.size());
  return survey;
}

Cues cues_at(const BoundarySurvey& survey, Beats at, Beats upbeat) {
  Cues cues{};
  const std::ptrdiff_t before = last_before(survey.line, at);
  if (before >= 0 && before < std::ssize(survey.after)) {
    const auto index = static_cast<std::size_t>(before);
    const MelodyNote& note = survey.line[index];
    const Beats wait = survey.line[index + 1].onset - at;
    const Beats sounds_on = note.end - at;
    if (sounds_on > kSameMoment) {
      cue_of(cues, Cue::kCutNote) = std::min(1.0, sounds_on / survey.usual_interval);
    } else {
      cues = survey.after[index];
      const double patience = std::clamp(1.0 - wait / (survey.usual_interval * 2.0), 0.0, 1.0);
      if (wait > kSameMoment) {
        for (double& cue : cues) cue *= patience;
      }
    }
  }
  auto event = std::ranges::lower_bound(survey.events, at - kSameMoment, {}, &BoundaryEvent::at);
  for (; event != survey.events.end() && event->at <= at + upbeat + kSameMoment; ++event) {
    cue_of(cues, event->cue) = std::max(cue_of(cues, event->cue), event->strength);
  }
  return cues;
}

double strength(const Cues& cues) {
  double sum = 0.0;
  for (std::size_t i = 0; i < kCues; ++i) sum += cues[i] * kCueTable[i].weight;
  return sum;
}

std::string words_of(const Cues& cues) {
  constexpr double kWorthSaying = 0.15;
  std::vector<std::pair<double, std::size_t>> weighty;
  for (std::size_t i = 0; i < kCues; ++i) {
    const double weight = std::abs(cues[i] * kCueTable[i].weight);
    if (weight >= kWorthSaying) weighty.emplace_back(-weight, i);
  }
  std::ranges::sort(weighty);
  std::string text;
  for (const auto& [weight, cue] : weighty) {
    const bool is_said = cue == static_cast<std::size_t>(Cue::kChange) && weighty.size() > 1;
    if (is_said) continue;  // it sums up what the others tell
    text += (text.empty() ? "" : ", ") + std::string(kCueTable[cue].words);
  }
  return text;
}

}  // namespace arsis
