// Any bytes at all, read as a MIDI file, made into a score, performed as it stands, and written
// again.
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "fuzz/check_score.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace {

using namespace arsis;

using fuzz::check_score;
using fuzz::demand;

// What was read, written and read again is the same, and needs no mending any more.
void check_round_trip(const MidiFile& file) {
  const Result<Bytes> bytes = write_midi(file, "f");
  if (!bytes) return;  // a gap longer than the format can hold
  const Result<MidiFile> again = read_midi(*bytes, "f");
  demand(static_cast<bool>(again) && again.diagnostics().empty());
  demand(again->tracks.size() == file.tracks.size());
  for (std::size_t i = 0; i < file.tracks.size(); ++i) {
    demand(again->tracks[i].events.size() == file.tracks[i].events.size());
  }
  demand(*write_midi(*again, "f") == *bytes);
}

// A file of ours read again is undamaged, and its notes need no mending.
void check_written(const MidiFile& written) {
  const Result<Bytes> bytes = write_midi(written, "f");
  if (!bytes) return;  // a gap longer than the format can hold
  const Result<MidiFile> read = read_midi(*bytes, "f");
  demand(static_cast<bool>(read) && read.diagnostics().empty());
  const Result<Score> score = score_of(*read, "f");
  if (!score) return;  // longer than any music, as ticks
  for (const Diagnostic& doubt : score.diagnostics()) {
    demand(doubt.problem.find("struck") == std::string::npos &&
           doubt.problem.find("length") == std::string::npos &&
           doubt.problem.find("ends") == std::string::npos &&
           doubt.problem.find("a note") == std::string::npos);
  }
  check_score(*score);
}

// The score played as written.
Performance plain(const Score& score) {
  std::vector<TimeMap::Knot> knots;
  for (const TempoChange& change : score.tempo.changes()) {
    knots.push_back({change.at, score.tempo.seconds_at(change.at)});
  }
  const Beats last = knots.back().beat + Beats{1.0};
  knots.push_back({last, score.tempo.seconds_at(last)});
  Performance performance;
  performance.time = TimeMap(knots);
  for (const Note& note : score.notes) {
    performance.notes.push_back(
        {score.tempo.seconds_at(note.onset), score.tempo.seconds_at(note.end), note.velocity});
  }
  return performance;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<MidiFile> file = read_midi({data, size}, "f");
  if (!file) {
    demand(!file.diagnostics().empty());
    return 0;
  }
  check_round_trip(*file);
  const Result<Score> score = score_of(*file, "f");
  if (!score) return 0;
  check_score(*score);
  for (const TimingForm form : {TimingForm::kTempoMap, TimingForm::kTicks}) {
    check_written(midi_of(*score, plain(*score), form));
  }
  return 0;
}
