#include "smf/score_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "base/files.h"
#include "base/text.h"
#include "score/quantization.h"
#include "smf/chunks.h"
#include "smf/note_pairing.h"

namespace arsis {
namespace {

constexpr std::uint8_t kTrackName = 0x03;
constexpr std::uint8_t kTempo = 0x51;
constexpr std::uint8_t kTimeSignature = 0x58;
constexpr std::uint8_t kKeySignature = 0x59;
constexpr std::size_t kMostParts = 4096;

// Names in MIDI files are of no stated encoding: UTF-8 stays, anything else is taken for Latin-1.
// Long ones are cut, between two letters.
std::string text_of(std::span<const std::uint8_t> bytes) {
  constexpr std::size_t kLongest = 200;
  constexpr std::size_t kLongestLetter = 4;
  const bool cut = bytes.size() > kLongest;
  if (cut) bytes = bytes.first(kLongest);
  std::string raw(bytes.begin(), bytes.end());
  const std::size_t valid = utf8_prefix(raw);
  if (valid == raw.size() || (cut && raw.size() - valid < kLongestLetter)) {
    return raw.substr(0, valid);
  }
  std::string utf8;
  for (const std::uint8_t byte : bytes) {
    if (byte < 0x80) {
      utf8 += static_cast<char>(byte);
    } else {
      utf8 += static_cast<char>(0xC0 | byte >> 6);
      utf8 += static_cast<char>(0x80 | (byte & 0x3F));
    }
  }
  return utf8;
}

class ScoreBuilder {
 public:
  ScoreBuilder(const MidiFile& file, const std::string& name, Origin origin)
      : file_(file), origin_(origin), damage_(name) {
    score_.file = name;
    score_.division = file.division;
  }

  Result<Score> build() {
    for (std::size_t i = 0; i < file_.tracks.size(); ++i) add_track(i);
    if (score_.notes.empty()) {
      return fail({.file = damage_.file()}, "holds no notes", "a score with notes is needed");
    }
    if (score_.parts.size() > kMostParts) {
      return fail({.file = damage_.file()},
                  fmt::format("has notes in {} tracks and channels", score_.parts.size()),
                  fmt::format("at most {} parts are read", kMostParts));
    }
    number_tracks();
    sort_all();
    const Beats end = score_.end();
    if (std::max(end, latest_) > Score::kLongest) {
      return fail({.file = damage_.file()}, "is longer than any music",
                  fmt::format("at most {} quarter notes are read", Score::kLongest.value));
    }
    score_.tempo = TempoMap(tempos_);
    score_.bars = Bars::of(score_.signatures, end);
    if (!score_.bars.complete(end)) {
      return fail({.file = damage_.file()}, "has too many bars",
                  fmt::format("at most {} bars are read", Bars::kMostBars));
    }
    Diagnostics warnings = damage_.take();
    if (origin_ == Origin::kWritten) question_quantization(warnings);
    return {std::move(score_), std::move(warnings)};
  }

 private:
  Beats beats(std::int64_t tick) const { return {static_cast<double>(tick) / file_.division}; }

  void add_track(std::size_t index) {
    const MidiTrack& track = file_.tracks[index];
    score_.tracks.push_back({{}, beats(track.end_tick)});
    latest_ = std::max(latest_, beats(track.end_tick));
    const std::vector<PairedNote> notes = pair_notes(file_, index, damage_);
    const bool names_piece = index == 0 && (notes.empty() || file_.tracks.size() == 1);
    std::uint32_t sequence = 0;
    for (const MidiEvent& event : track.events) {
      latest_ = std::max(latest_, beats(event.tick));
      const auto bytes = file_.bytes_of(event);
      if (bytes[0] >= 0xA0 || bytes[0] < 0x80) add_message(index, event, sequence);
      ++sequence;
    }
    if (names_piece) score_.title = score_.tracks.back().name;
    add_notes(index, notes);
  }

  void add_notes(std::size_t track, const std::vector<PairedNote>& notes) {
    if (notes.empty()) return;
    std::array<std::uint16_t, 16> part_of{};
    std::array<bool, 16> used{};
    for (const PairedNote& note : notes) used[note.channel] = true;
    for (std::uint8_t channel = 0; channel < 16; ++channel) {
      if (!used[channel]) continue;
      part_of[channel] = static_cast<std::uint16_t>(score_.parts.size());
      score_.parts.push_back(
          {score_.tracks.back().name, static_cast<std::uint16_t>(track), 1, channel});
    }
    for (const PairedNote& paired : notes) {
      Note note;
      note.onset = beats(paired.on);
      note.end = beats(paired.off);
      note.sequence = paired.sequence;
      note.part = part_of[paired.channel];
      note.key = paired.key;
      note.velocity = Velocity::clamped(paired.velocity);
      note.release_velocity = paired.release_velocity;
      score_.notes.push_back(note);
    }
  }

  // Plans count the tracks that hold notes, from 1.
  void number_tracks() {
    int number = 0;
    const Part* previous = nullptr;
    for (Part& part : score_.parts) {
      if (previous == nullptr || previous->track != part.track) ++number;
      part.number = number;
      previous = &part;
    }
  }

  void add_message(std::size_t track, const MidiEvent& event, std::uint32_t sequence) {
    const auto bytes = file_.bytes_of(event);
    if (bytes[0] == kMeta) {
      if (bytes[1] == kTempo) {
        add_tempo(track, event);
        return;
      }
      read_meta(track, event);
    }
    score_.messages.push_back({beats(event.tick), sequence,
                               static_cast<std::uint32_t>(score_.message_bytes.size()), event.size,
                               static_cast<std::uint16_t>(track)});
    score_.message_bytes.insert(score_.message_bytes.end(), bytes.begin(), bytes.end());
  }

  void add_tempo(std::size_t track, const MidiEvent& event) {
    const auto data = file_.bytes_of(event).subspan(2);
    const std::int64_t tempo = data.size() == 3 ? big_endian(data, 0, 3) : 0;
    if (tempo == 0) {
      damage_.add(track + 1, event.offset, "an impossible tempo", "it is left out");
      return;
    }
    tempos_.push_back({beats(event.tick), tempo});
  }

  void read_meta(std::size_t track, const MidiEvent& event) {
    const auto bytes = file_.bytes_of(event);
    const auto data = bytes.subspan(2);
    if (bytes[1] == kTrackName && score_.tracks.back().name.empty()) {
      score_.tracks.back().name = text_of(data);
    } else if (bytes[1] == kTimeSignature) {
      constexpr std::uint8_t kFinestBeat = 6;  // sixty-fourth notes
      if (data.size() < 2 || data[0] == 0 || data[1] > kFinestBeat) {
        damage_.add(track + 1, event.offset, "an impossible time signature",
                    "the one before it goes on");
        return;
      }
      score_.signatures.push_back({beats(event.tick), {data[0], 1 << data[1]}});
    } else if (bytes[1] == kKeySignature && data.size() >= 2) {
      const int sharps = data[0] < 128 ? data[0] : data[0] - 256;
      if (std::abs(sharps) <= 7) score_.keys.push_back({beats(event.tick), sharps, data[1] == 1});
    }
  }

  void sort_all() {
    std::ranges::sort(score_.notes, [](const Note& a, const Note& b) {
      return std::tuple(a.onset, a.part, a.key) < std::tuple(b.onset, b.part, b.key);
    });
    std::ranges::stable_sort(score_.signatures, {}, &TimeSignatureChange::at);
    std::ranges::stable_sort(score_.keys, {}, &KeySignature::at);
    std::ranges::stable_sort(score_.messages, {}, &Message::at);
    std::ranges::stable_sort(tempos_, {}, &TempoChange::at);
  }

  void question_quantization(Diagnostics& warnings) const {
    const double share = off_grid_share(score_);
    if (share <= kPlayedShare) return;
    warnings.push_back(warning(
        {.file = damage_.file()},
        fmt::format(
            "{:.0f} % of the onsets lie off every grid of written music: this looks played, "
            "not quantized",
            share * 100.0),
        "quantize it first, or bars and goals will not be where the plan says"));
  }

  const MidiFile& file_;
  Origin origin_;
  DamageReport damage_;
  Score score_;
  std::vector<TempoChange> tempos_;
  Beats latest_{0.0};  // of any event
};

}  // namespace

Result<Score> score_of(const MidiFile& file, const std::string& name, Origin origin) {
  return ScoreBuilder(file, name, origin).build();
}

Result<Score> read_score(const std::filesystem::path& path, Origin origin) {
  Result<Bytes> bytes = read_file(path, kMostMidiBytes);
  if (!bytes) return bytes.diagnostics();
  Result<MidiFile> file = read_midi(*bytes, path.string());
  if (!file) return file.diagnostics();
  *bytes = {};  // the file's bytes and ours need not be held at once
  Result<Score> score = score_of(*file, path.string(), origin);
  Diagnostics all = file.diagnostics();
  all.insert(all.end(), score.diagnostics().begin(), score.diagnostics().end());
  if (!score) return all;
  return {*std::move(score), std::move(all)};
}

}  // namespace arsis
