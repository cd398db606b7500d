// A page as a quantized MIDI file: what is written of each notion, read back, has its notes, bars,
// tempos and names.
#include <gtest/gtest.h>

#include <algorithm>

#include "musicxml/notion.h"
#include "musicxml/score_reader.h"
#include "musicxml/score_text.h"
#include "plan/binding.h"
#include "shape/perform.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

Layers as_written() {
  Layers layers;
  layers.amount = 0.0;
  layers.touch = false;
  return layers;
}

Result<Score> read_back(const PrintedScore& read) {
  const Result<BoundPlan> bound = bind_plan(Plan{}, read.score, read.printed);
  if (!bound) return bound.diagnostics();
  const Shaped shaped = perform(read.score, *bound, as_written());
  const Result<Bytes> bytes =
      write_midi(midi_of(read.score, shaped.performance, TimingForm::kTempoMap), "q.mid");
  if (!bytes) return bytes.diagnostics();
  const Result<MidiFile> file = read_midi(*bytes, "q.mid");
  if (!file) return file.diagnostics();
  return score_of(*file, "q.mid");
}

// "0:C5/1 part, ..." of all notes, in the order of onset, key and part.
std::vector<std::string> note_lines(const Score& score) {
  std::vector<std::string> lines;
  for (const Note& note : score.notes) {
    lines.push_back(fmt::format("{:.4f} {} {:.4f} {}", note.onset.value, note.key,
                                note.length().value, score.parts[note.part].name));
  }
  std::ranges::sort(lines);
  return lines;
}

std::string bar_lines(const Score& score) {
  std::string text;
  for (const Bar& bar : score.bars.all()) {
    text += fmt::format("{:.4f}..{:.4f} ", bar.span.begin.value, bar.span.end.value);
  }
  return text;
}

class EachNotionAsMidi : public testing::TestWithParam<std::string> {};

TEST_P(EachNotionAsMidi, HasTheSameNotesBarsAndTempos) {
  const Result<PrintedScore> read = read_musicxml(notions_folder() / (GetParam() + ".musicxml"));
  ASSERT_TRUE(read);
  const Result<Score> again = read_back(*read);
  ASSERT_TRUE(again) << messages_of(again.diagnostics());
  EXPECT_EQ(note_lines(*again), note_lines(read->score));
  EXPECT_EQ(bar_lines(*again), bar_lines(read->score));
  for (const TempoChange& change : read->score.tempo.changes()) {
    EXPECT_EQ(again->tempo.microseconds_per_quarter_at(change.at), change.microseconds_per_quarter)
        << change.at.value;
  }
  EXPECT_EQ(again->title, read->score.title);
}

INSTANTIATE_TEST_SUITE_P(Of, EachNotionAsMidi, testing::ValuesIn(notion_names()),
                         test_name_of_notion);

// Velocities of MusicXML 4.0's own measure: f is 90; the others by the steps of the tuning's table.
TEST(PageAsMidi, HasItsWrittenDynamics) {
  const auto dyn = [](const std::string& name) {
    return "<direction><direction-type><dynamics><" + name +
           "/></dynamics></direction-type></direction>\n";
  };
  const Result<PrintedScore> read = played_of(score_text(
      {attributes(1, time(4, 4)) + dyn("f") + n("C5", 1) + dyn("p") + n("D5", 1) + dyn("mf") +
           n("E5", 1) + dyn("ff") + n("F5", 1),
       dyn("p") +
           "<direction><direction-type><wedge type='crescendo'/></direction-type></direction>" +
           n("C5", 1) + n("C5", 1) + n("C5", 1) + n("C5", 1) +
           "<direction><direction-type><wedge type='stop'/></direction-type></direction>",
       dyn("f") + n("C5", 4)}));
  ASSERT_TRUE(read);
  const Result<Score> again = read_back(*read);
  ASSERT_TRUE(again);
  std::vector<int> velocities;
  for (const Note& note : again->notes) velocities.push_back(note.velocity.value());
  // -4.5 dB a step is a factor of 0.772, +3 dB of 1.189; the hairpin goes evenly in dB.
  EXPECT_EQ(velocities, (std::vector<int>{90, 41, 69, 107, 41, 50, 61, 74, 90}));
}

}  // namespace
}  // namespace arsis
