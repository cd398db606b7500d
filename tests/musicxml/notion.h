// The notions: small MusicXML files of one notion each (notions/NAME.musicxml) with a list of what
// is played of them, written by hand (notions/NAME.txt). A list is, a line each:
//   the notion in words (the first line)
//   ONSET PITCH LENGTH PART      a note as it is played, in quarter notes: 4/3 C#5 2/3 1
//   bar N pass P at Q            a bar; where one is listed all are
//   tempo Q BPM                  from when on, in quarter notes a minute; where none is listed: 0
//   120 warning TEXT                 problem and remedy
#pragma once

#include <gtest/gtest.h>

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace arsis::test {

struct NotionNote {
  double onset = 0.0;  // in quarter notes from the beginning
  int key = 0;         // as it sounds
  double length = 0.0;
  int part = 1;
};

struct Notion {
  std::vector<NotionNote> notes;
  std::vector<std::string> bars;                  // "9 pass 1 at 12", in order
  std::vector<std::pair<double, double>> tempos;  // changes only
  std::vector<std::string> warnings;              // in no order
  std::vector<std::string> faults;                // why it could not be read
};

// Names of all files "NAME.musicxml" of the folder of notions, in order of the alphabet.
std::vector<std::string> notion_names();
std::filesystem::path notions_folder();
// Of a parameterised test: without the hyphens.
std::string test_name_of_notion(const testing::TestParamInfo<std::string>& info);

// What its list says.
Notion listed_notion(const std::string& name);
// What is played of a MusicXML file.
Notion played_notion(const std::filesystem::path& file);

// A line for each note, bar, tempo, warning and fault, in a fixed order; bars only where
// `with_bars`.
std::string to_text(const Notion& notion, bool with_bars);
// A line for each note, with onset and pitch alone.
std::string onsets_of(const Notion& notion);

// "4/3" or "2"; not a number where it is none.
double fraction_of(const std::string& text);
// "C#5", "Bb3"; -1 where it is no pitch.
int key_of(const std::string& pitch);

}  // namespace arsis::test
