#include "musicxml/notion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>
#include <sstream>
#include <string_view>
#include <tuple>

#include "musicxml/score_reader.h"

namespace arsis::test {
namespace fs = std::filesystem;
namespace {

bool read_note(std::istringstream& words, const std::string& onset, Notion& notion) {
  std::string pitch;
  std::string length;
  NotionNote note;
  words >> pitch >> length >> note.part;
  note.onset = fraction_of(onset);
  note.key = key_of(pitch);
  note.length = fraction_of(length);
  notion.notes.push_back(note);
  return words && words.eof() && note.onset >= 0.0 && note.key >= 0 && note.length > 0.0;
}

bool read_line(const std::string& line, Notion& notion) {
  std::istringstream words(line);
  std::string first;
  words >> first;
  if (first == "warning") {
    notion.warnings.push_back(line.substr(first.size() + 1));
    return true;
  }
  if (first == "tempo") {
    std::string at;
    std::string per_minute;
    words >> at >> per_minute;
    notion.tempos.emplace_back(fraction_of(at), fraction_of(per_minute));
    return words && words.eof();
  }
  if (first == "bar") {
    int number = 0;
    int pass = 0;
    std::string pass_word;
    std::string at_word;
    std::string at;
    words >> number >> pass_word >> pass >> at_word >> at;
    notion.bars.push_back(fmt::format("{} pass {} at {:.9g}", number, pass, fraction_of(at)));
    return words && words.eof() && pass_word == "pass" && at_word == "at";
  }
  return read_note(words, first, notion);
}

std::string name_of(int key) {
  constexpr const char* kNames[] = {"C",  "C#", "D",  "D#", "E",  "F",
                                    "F#", "G",  "G#", "A",  "A#", "B"};
  return fmt::format("{}{}", kNames[key % 12], key / 12 - 1);
}

std::vector<NotionNote> sorted(std::vector<NotionNote> notes) {
  std::ranges::sort(notes, {}, [](const NotionNote& note) {
    return std::tuple(note.onset, note.part, note.key, note.length);
  });
  return notes;
}

}  // namespace

fs::path notions_folder() { return fs::path(ARSIS_SOURCE_DIR) / "tests/musicxml/notions"; }

std::vector<std::string> notion_names() {
  std::vector<std::string> names;
  for (const fs::directory_entry& entry : fs::directory_iterator(notions_folder())) {
    if (entry.path().extension() == ".musicxml") names.push_back(entry.path().stem().string());
  }
  std::ranges::sort(names);
  return names;
}

std::string test_name_of_notion(const testing::TestParamInfo<std::string>& info) {
  std::string name = info.param;
  std::ranges::replace(name, '-', '_');
  return name;
}

Notion listed_notion(const std::string& name) {
  Notion notion;
  const fs::path path = notions_folder() / (name + ".txt");
  std::ifstream file(path);
  std::string line;
  if (!std::getline(file, line) || line.empty())
    notion.faults.push_back("no list " + path.string());
  while (std::getline(file, line)) {
    if (!read_line(line, notion)) notion.faults.push_back("cannot be read: " + line);
  }
  if (notion.tempos.empty()) notion.tempos.emplace_back(0.0, 120.0);
  return notion;
}

Notion played_notion(const fs::path& file) {
  Notion notion;
  const Result<PrintedScore> read = read_musicxml(file);
  for (const Diagnostic& each : read.diagnostics()) {
    auto& said = each.severity == Severity::kWarning ? notion.warnings : notion.faults;
    said.push_back(each.problem + "; " + each.remedy);
  }
  if (!read) return notion;
  const Score& score = read->score;
  for (const Note& note : score.notes) {
    notion.notes.push_back({note.onset.value, note.key, note.length().value, note.part + 1});
  }
  for (const Bar& bar : score.bars.all()) {
    notion.bars.push_back(
        fmt::format("{} pass {} at {:.9g}", bar.number, bar.pass, bar.span.begin.value));
  }
  for (const TempoChange& change : score.tempo.changes()) {
    const double per_minute = 60e6 / static_cast<double>(change.microseconds_per_quarter);
    const bool is_new = notion.tempos.empty() || notion.tempos.back().second != per_minute;
    if (is_new) notion.tempos.emplace_back(change.at.value, per_minute);
  }
  return notion;
}

std::string to_text(const Notion& notion, bool with_bars) {
  std::string text;
  for (const NotionNote& note : sorted(notion.notes)) {
    text +=
        fmt::format("{:.9g} {} {:.9g} {}\n", note.onset, name_of(note.key), note.length, note.part);
  }
  for (const std::string& bar : notion.bars) text += with_bars ? "bar " + bar + "\n" : "";
  // A tempo is kept in whole microseconds a quarter note.
  for (const auto& [at, per_minute] : notion.tempos) {
    text += fmt::format("tempo {:.9g} {:.2f}\n", at, per_minute);
  }
  std::vector<std::string> warnings = notion.warnings;
  std::ranges::sort(warnings);
  for (const std::string& warning : warnings) text += "warning " + warning + "\n";
  for (const std::string& fault : notion.faults) text += "fault " + fault + "\n";
  return text;
}

std::string onsets_of(const Notion& notion) {
  std::vector<std::pair<long, int>> onsets;
  // In ticks of the reference, which counts 120 to a quarter note.
  for (const NotionNote& note : notion.notes) {
    onsets.emplace_back(std::lround(note.onset * 120.0), note.key);
  }
  std::ranges::sort(onsets);
  std::string text;
  for (const auto& [tick, key] : onsets) {
    text += fmt::format("{:.9g} {}\n", static_cast<double>(tick) / 120.0, name_of(key));
  }
  return text;
}

double fraction_of(const std::string& text) {
  double over = 0.0;
  double under = 1.0;
  char slash = '/';
  std::istringstream parts(text);
  parts >> over;
  if (parts && !parts.eof()) parts >> slash >> under;
  const bool good = parts && parts.eof() && slash == '/' && under > 0.0;
  return good ? over / under : std::numeric_limits<double>::quiet_NaN();
}

int key_of(const std::string& pitch) {
  constexpr std::string_view kSteps = "C D EF G A B";
  if (pitch.size() < 2 || pitch[0] == ' ') return -1;
  const std::size_t step = kSteps.find(pitch[0]);
  if (step == std::string_view::npos) return -1;
  const int alter = pitch[1] == '#' ? 1 : pitch[1] == 'b' ? -1 : 0;
  const double octave = fraction_of(pitch.substr(alter == 0 ? 1 : 2));
  if (!(octave >= -1.0 && octave <= 9.0)) return -1;
  return 12 * (static_cast<int>(octave) + 1) + static_cast<int>(step) + alter;
}

}  // namespace arsis::test
