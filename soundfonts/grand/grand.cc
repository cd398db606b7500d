#include "grand.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "layer_files.h"
#include "sample_shape.h"
#include "sound/sample_file.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr int kLowestKey = 21;
constexpr int kHighestKey = 108;
constexpr int kPianoPrograms = 8;  // General MIDI level 1: programs 1 to 8 are pianos

constexpr Audibility kNoise{Decibels{30.0}, Decibels{50.0}};  // it begins softly
// Tails are cut where they are as soft as this below a note at full strength, but no sooner than
// this below their own note: a soft layer is never heard at full strength. Our choice.
constexpr Decibels kTailBelowFull{70.0};
constexpr Decibels kTailBelowNote{45.0};
constexpr Decibels kHeadroom{4.0};  // above the highest peak of all samples
// The mean level of all release noises below that of a note at full strength. Our choice.
constexpr Decibels kNoiseBelowNote{40.0};
constexpr Seconds kUndamped{60.0};
constexpr Seconds kNoiseRelease{20.0};  // it ends by itself
constexpr double kWidestPan = 0.3;

struct Note {
  int key = 60;
  fs::path file;
  int sample_rate = 48'000;
  SampleMeasure left, right;
  bool from_right = false;
  Decibels gain;
  std::size_t layer = 0;

  const SampleMeasure& measured() const { return from_right ? right : left; }
};

struct Work {
  const GrandRequest& request;
  std::vector<Note> notes;   // layer by layer, in each by key
  std::vector<Note> noises;  // by key
  std::vector<int> keys;     // sampled, rising
  Diagnostics errors;
  std::size_t steps = 0;  // files to read, each of them twice
  std::size_t done = 0;

  void step() {
    ++done;
    if (request.progress) {
      request.progress(static_cast<double>(done) /
                       static_cast<double>(std::max<std::size_t>(steps, 1)));
    }
  }
};

Audibility audibility_of(std::size_t layer, std::size_t layers) {
  const int loudest = velocities_of(layer, layers).loudest;
  return {Decibels{20.0},
          std::max(kTailBelowNote, kTailBelowFull + level_of(Velocity::clamped(loudest)))};
}

Result<Note> measured_note(int key, const fs::path& file, Audibility audibility) {
  const Result<RecordedSample> sample = read_sample(file);
  if (!sample) return sample.diagnostics();
  const auto left = measure(sample->left, sample->sample_rate, audibility);
  const auto right = measure(sample->right, sample->sample_rate, audibility);
  if (!left && !right) {
    return fail({.file = file.string()}, "is silent or too short", "record or fetch it anew");
  }
  Note note;
  note.key = key;
  note.file = file;
  note.sample_rate = sample->sample_rate;
  note.left = left ? *left : *right;
  note.right = right ? *right : *left;
  note.from_right = !left;
  return note;
}

void measure_all(const KeyFiles& files, Audibility audibility, std::size_t layer, Work& work,
                 std::vector<Note>& notes) {
  for (const auto& [key, file] : files) {
    Result<Note> note = measured_note(key, file, audibility);
    work.step();
    if (note) {
      note->layer = layer;
      notes.push_back(*note);
    } else {
      work.errors.insert(work.errors.end(), note.diagnostics().begin(), note.diagnostics().end());
    }
  }
}

// One channel for all layers of a key, the stronger one: the sum of two microphones thins what
// reaches them in different phases.
void choose_channels(Work& work) {
  for (const int key : work.keys) {
    Decibels difference;
    for (const Note& note : work.notes) {
      if (note.key == key) difference += note.right.level - note.left.level;
    }
    for (Note& note : work.notes) {
      if (note.key == key) note.from_right = difference > Decibels{};
    }
  }
  for (Note& noise : work.noises) noise.from_right = noise.right.level > noise.left.level;
}

// All layers to one smooth curve over the keyboard, which keeps the piano's own balance of bass and
// treble, as high as the highest peak lets it lie.
void set_gains(Work& work) {
  std::vector<Decibels> means;
  const std::size_t layers = work.notes.size() / work.keys.size();
  for (std::size_t k = 0; k < work.keys.size(); ++k) {
    Decibels sum;
    for (std::size_t layer = 0; layer < layers; ++layer) {
      sum += work.notes[layer * work.keys.size() + k].measured().level;
    }
    means.push_back(sum / static_cast<double>(layers));
  }
  const std::vector<Decibels> curve = smooth_curve(work.keys, means);
  Decibels highest{-1000.0};
  Decibels mean;
  for (std::size_t i = 0; i < work.notes.size(); ++i) {
    Note& note = work.notes[i];
    note.gain = curve[i % work.keys.size()] - note.measured().level;
    highest = std::max(highest, note.measured().peak + note.gain);
    mean += curve[i % work.keys.size()] / static_cast<double>(work.notes.size());
  }
  for (Note& note : work.notes) note.gain -= highest + kHeadroom;
  Decibels noise_mean;
  for (const Note& noise : work.noises) {
    noise_mean += noise.measured().level / static_cast<double>(work.noises.size());
  }
  for (Note& noise : work.noises) {
    noise.gain = mean - highest - kHeadroom - kNoiseBelowNote - noise_mean;
  }
}

FontSample font_sample(const Note& note, const RecordedSample& recorded) {
  FontSample sample;
  sample.key = note.key;
  sample.sample_rate = recorded.sample_rate;
  sample.frames = cut_sample(note.from_right ? recorded.right : recorded.left, recorded.sample_rate,
                             note.measured(), note.gain);
  return sample;
}

Result<Done> add_samples(SoundFontWriter& writer, Work& work, GrandReport& report) {
  for (const std::vector<Note>* list : {&work.notes, &work.noises}) {
    for (const Note& note : *list) {
      const Result<RecordedSample> recorded = read_sample(note.file);
      if (!recorded) return recorded.diagnostics();
      if (recorded->left.size() < note.measured().end) {
        return fail({.file = note.file.string()}, "changed while it was read", "try again");
      }
      FontSample sample = font_sample(note, *recorded);
      const bool noise = list == &work.noises;
      if (noise) sample.frames.insert(sample.frames.begin(), kKeyOffSilence, std::int16_t{0});
      sample.name = noise ? fmt::format("release {}", note.key)
                          : fmt::format("key {} layer {}", note.key, note.layer + 1);
      report.sound.value += static_cast<double>(sample.frames.size()) / sample.sample_rate;
      const Result<Done> added = writer.add(sample);
      if (!added) return added.diagnostics();
      work.step();
    }
  }
  return Done{};
}

// A key zone in two where the dampers end.
void add_zones(std::vector<FontZone>& zones, FontZone zone, KeyZone keys) {
  const auto add = [&](int lowest, int highest) {
    if (lowest > highest) return;
    zone.lowest_key = lowest;
    zone.highest_key = highest;
    const int middle = (lowest + highest) / 2;
    if (!zone.key_off) zone.release = release_of(middle);
    zone.pan = pan_of(middle);
    zones.push_back(zone);
  };
  add(keys.lowest, std::min(keys.highest, kLowestUndamped - 1));
  add(std::max(keys.lowest, kLowestUndamped), keys.highest);
}

std::vector<FontZone> zones_of(const Work& work, std::size_t layers) {
  std::vector<FontZone> zones;
  for (std::size_t i = 0; i < work.notes.size(); ++i) {
    const VelocityRange velocities = velocities_of(work.notes[i].layer, layers);
    FontZone zone;
    zone.sample = i;
    zone.softest = velocities.softest;
    zone.loudest = velocities.loudest;
    add_zones(zones, zone, zone_of(work.keys, i % work.keys.size()));
  }
  std::vector<int> noise_keys;
  for (const Note& noise : work.noises) noise_keys.push_back(noise.key);
  for (std::size_t i = 0; i < work.noises.size(); ++i) {
    FontZone zone;
    zone.sample = work.notes.size() + i;
    zone.softest = 1;
    zone.release = kNoiseRelease;
    zone.key_off = true;
    add_zones(zones, zone, zone_of(noise_keys, i));
  }
  return zones;
}

GrandReport report_of(const Work& work) {
  GrandReport report;
  report.samples = work.notes.size() + work.noises.size();
  const auto onset = [](const Note& note) {
    return static_cast<double>(note.measured().begin) / note.sample_rate + kLeadIn.value;
  };
  const auto [first, last] = std::ranges::minmax_element(work.notes, {}, onset);
  report.earliest = {onset(*first)};
  report.latest = {onset(*last)};
  const auto [least, most] = std::ranges::minmax_element(work.notes, {}, &Note::gain);
  report.softest = least->gain;
  report.loudest = most->gain;
  return report;
}

}  // namespace

Seconds release_of(int key) {
  if (key >= kLowestUndamped) return kUndamped;
  constexpr int kC2 = 36;
  constexpr int kC6 = 84;
  constexpr Seconds kAtC2{0.3};
  constexpr Seconds kAtC6{0.18};
  return kAtC2 + (kAtC6 - kAtC2) * ((key - kC2) / double{kC6 - kC2});
}

double pan_of(int key) {
  constexpr double kMiddle = (kLowestKey + kHighestKey) / 2.0;
  return std::clamp(kWidestPan * (key - kMiddle) / (kHighestKey - kMiddle), -kWidestPan,
                    kWidestPan);
}

VelocityRange velocities_of(std::size_t layer, std::size_t layers) {
  return {static_cast<int>(127 * layer / layers) + 1, static_cast<int>(127 * (layer + 1) / layers)};
}

KeyZone zone_of(const std::vector<int>& keys, std::size_t at) {
  KeyZone zone{kLowestKey, kHighestKey};
  if (at > 0) zone.lowest = (keys[at - 1] + keys[at]) / 2 + 1;
  if (at + 1 < keys.size()) zone.highest = (keys[at] + keys[at + 1]) / 2;
  return zone;
}

Result<GrandReport> build_grand(const GrandRequest& request) {
  const Result<std::vector<KeyFiles>> layers = layer_files(request.layers);
  if (!layers) return layers.diagnostics();
  Result<KeyFiles> noises = KeyFiles{};
  if (!request.key_off.empty()) noises = key_files(request.key_off, key_of_release);
  if (!noises) return noises.diagnostics();
  Work work{request, {}, {}, {}, {}};
  for (const auto& [key, file] : layers->front()) work.keys.push_back(key);
  work.steps = 2 * (layers->size() * work.keys.size() + noises->size());
  for (std::size_t i = 0; i < layers->size(); ++i) {
    measure_all((*layers)[i], audibility_of(i, layers->size()), i, work, work.notes);
  }
  measure_all(*noises, kNoise, 0, work, work.noises);
  if (has_errors(work.errors)) return work.errors;
  choose_channels(work);
  set_gains(work);

  Result<SoundFontWriter> writer = SoundFontWriter::create(request.target, request.text);
  if (!writer) return writer.diagnostics();
  GrandReport report = report_of(work);
  const Result<Done> added = add_samples(*writer, work, report);
  if (!added) return added.diagnostics();
  const Result<Done> finished = writer->finish(zones_of(work, layers->size()), kPianoPrograms);
  if (!finished) return finished.diagnostics();
  return report;
}

}  // namespace arsis
