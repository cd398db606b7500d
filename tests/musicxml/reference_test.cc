// Every notion against a second opinion: onsets and pitches as the engraving library Verovio plays
// them (verovio/reference, made by verovio/make.sh), note for note, in quarter notes, so that its
// tempo does not matter. Where the two differ the table says why; an entry that no longer differs
// is an error.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "musicxml/notion.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;
using namespace test;  // NOLINT: the notions

const fs::path kReference = fs::path(ARSIS_SOURCE_DIR) / "tests/musicxml/verovio/reference";

struct Exception {
  const char* reason;  // in what Verovio 6.3.0 differs
  bool same_pitches;   // whether it plays the same pitches, each as often, at other times
};

constexpr const char* kGraceLength =
    "gives grace notes with a slash, or at a bar's end, a fifteenth of a quarter note each";
constexpr const char* kGraceShift =
    "gives grace notes without a slash their printed length, from the beat on, and moves "
    "everything "
    "after them later";
constexpr const char* kTripletMarks =
    "plays tuplets by their marks and types, not by their durations";
constexpr const char* kTimewise = "reads no timewise files";

const std::map<std::string, Exception>& exceptions() {
  static const std::map<std::string, Exception> table = {
      {"arpeggio", {"rolls the chord; we do that later, in seconds", true}},
      {"broken-duration-zero", {"gives it the length of its printed type", true}},
      {"broken-no-part-list", {"refuses a score without a list of parts", false}},
      {"broken-note-without-duration", {"gives it the length of its printed type", true}},
      {"cue", {"plays cue notes", false}},
      {"da-capo-in-words", {"jumps only where an element `sound` says so", false}},
      {"dal-segno-in-words", {"jumps only where an element `sound` says so", false}},
      {"dal-segno-in-barline", {"reads no segno of a bar line", false}},
      {"empty-measure", {"gives no time to a measure in which nothing stands", true}},
      {"forward-at-end", {"cuts a measure where its last note ends", true}},
      {"grace", {kGraceLength, true}},
      {"grace-after-chord", {kGraceLength, true}},
      {"grace-after-rest", {kGraceLength, true}},
      {"grace-after-tie", {kGraceLength, true}},
      {"grace-at-bar-beginning", {"steals from the note after, at a bar's beginning", true}},
      {"grace-at-bar-end", {kGraceLength, true}},
      {"grace-at-bar-end-of-two-voices", {kGraceLength, true}},
      {"grace-at-piece-beginning", {kGraceShift, true}},
      {"grace-at-piece-end", {kGraceLength, true}},
      {"grace-before-rest", {kGraceShift, true}},
      {"grace-at-part-beginning", {kGraceLength, true}},
      {"grace-before-repeat", {"steals from the note after, at a bar's beginning", true}},
      {"grace-before-short-first-note", {kGraceShift, true}},
      {"grace-chord", {kGraceLength, true}},
      {"grace-cue", {"plays cue notes", false}},
      {"grace-in-left-hand", {kGraceLength, true}},
      {"grace-in-second-volta", {"steals from the note after, at a bar's beginning", true}},
      {"grace-in-second-voice", {kGraceLength, true}},
      {"grace-in-second-voice-at-bar-beginning",
       {"steals from the note after, at a bar's beginning", true}},
      {"grace-many", {kGraceShift, true}},
      {"grace-several", {kGraceShift, true}},
      {"grace-steals-from-following", {"does not read how much is stolen", true}},
      {"grace-steals-from-previous", {"does not read from which note is stolen", true}},
      {"grace-to-repeated-key", {kGraceLength, true}},
      {"grace-without-slash", {kGraceShift, true}},
      {"measure-repeat", {"plays the sign for a repeated measure as silence", false}},
      {"microtone", {"takes the key below a quarter tone; bends are not in its notes", false}},
      {"note-beyond-midi", {"wraps keys above 127", false}},
      {"percussion", {"plays notes without pitch as some key", false}},
      {"repeat-timewise", {kTimewise, false}},
      {"tie-into-voltas", {"strikes a tied note again in the second volta", false}},
      {"tie-of-unison", {"strikes a key twice that two voices share", false}},
      {"tie-only-sounding", {"reads only the drawn tie", false}},
      {"time-of-two-parts",
       {"gives no time to the rest of a whole measure of two pairs of beats", true}},
      {"transposition-of-one-staff", {"plays no note of the other staff at its pitch", false}},
      {"transposition-that-ends", {"keeps the first transposition", false}},
      {"tremolo", {"strikes a tremolo's note many times", false}},
      {"triplet-without-bracket", {kTripletMarks, true}},
      {"triplet-without-marks", {kTripletMarks, true}},
      {"tuplet-nested", {"plays the inner tuplet as if it stood alone", true}},
      {"two-parts-timewise", {kTimewise, false}},
      {"unpitched", {"plays notes without pitch as some key", false}},
      {"voices-on-one-key", {"strikes a key twice that two voices share", false}},
  };
  return table;
}

Notion reference_of(const std::string& name) {
  Notion notion;
  std::ifstream file(kReference / (name + ".txt"));
  if (!file) notion.faults.push_back("no reference");
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string onset;
    std::string pitch;
    words >> onset >> pitch;
    NotionNote note;
    note.onset = fraction_of(onset);
    note.key = key_of(pitch);
    notion.notes.push_back(note);
  }
  return notion;
}

std::vector<int> keys_of(const Notion& notion) {
  std::vector<int> keys;
  for (const NotionNote& note : notion.notes) keys.push_back(note.key);
  std::ranges::sort(keys);
  return keys;
}

class EachReference : public testing::TestWithParam<std::string> {};

TEST_P(EachReference, HasTheSameOnsetsAndPitchesOrSaysWhyNot) {
  const Notion reference = reference_of(GetParam());
  ASSERT_TRUE(reference.faults.empty());
  const Notion played = played_notion(notions_folder() / (GetParam() + ".musicxml"));
  const auto exception = exceptions().find(GetParam());
  if (exception == exceptions().end()) {
    EXPECT_EQ(onsets_of(played), onsets_of(reference));
    return;
  }
  EXPECT_NE(onsets_of(played), onsets_of(reference))
      << "not so any more: Verovio " << exception->second.reason;
  EXPECT_EQ(keys_of(played) == keys_of(reference), exception->second.same_pitches)
      << "Verovio " << exception->second.reason;
}

INSTANTIATE_TEST_SUITE_P(Of, EachReference, testing::ValuesIn(notion_names()), test_name_of_notion);

TEST(Reference, HasAListForEachNotionAndNoOther) {
  const std::vector<std::string> names = notion_names();
  std::size_t lists = 0;
  for ([[maybe_unused]] const fs::directory_entry& entry : fs::directory_iterator(kReference)) {
    ++lists;
  }
  EXPECT_EQ(lists, names.size());
  for (const auto& [name, exception] : exceptions()) {
    EXPECT_TRUE(std::ranges::binary_search(names, name)) << name;
  }
}

}  // namespace
}  // namespace arsis
