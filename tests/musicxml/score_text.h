// MusicXML of few words for tests: a score of one part from the bodies of its measures, and notes
// from their names.
#pragma once

#include <fmt/format.h>

#include <string>
#include <vector>

#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"
#include "score/score.h"

namespace arsis::test {

// The text read and played out, with the warnings of both.
inline Result<PrintedScore> played_of(const std::string& text) {
  const Result<XmlDocument> document = XmlDocument::parse(text, "x.musicxml");
  if (!document) return document.diagnostics();
  const Result<Page> page = read_page(*document);
  if (!page) return page.diagnostics();
  Result<PrintedScore> played = played_score(*page, "x.musicxml");
  if (!played) return played.diagnostics();
  Diagnostics all = page.diagnostics();
  all.insert(all.end(), played.diagnostics().begin(), played.diagnostics().end());
  return {*std::move(played), std::move(all)};
}

inline std::string messages_of(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& each : diagnostics) text += to_string(each) + "\n";
  return text;
}

// <note> of a pitch such as "C5", "F#4", "Bb3", or "r" for a rest; `more` goes before the duration.
inline std::string n(const std::string& pitch, int duration, const std::string& more = "",
                     const std::string& after = "") {
  std::string body;
  if (pitch == "r") {
    body = "<rest/>";
  } else {
    const bool altered = pitch.size() > 2;
    const std::string alter = !altered          ? ""
                              : pitch[1] == '#' ? "<alter>1</alter>"
                                                : "<alter>-1</alter>";
    body = fmt::format("<pitch><step>{}</step>{}<octave>{}</octave></pitch>", pitch[0], alter,
                       pitch.back());
  }
  const std::string length = duration > 0 ? fmt::format("<duration>{}</duration>", duration) : "";
  return "<note>" + more + body + length + after + "</note>\n";
}

inline std::string attributes(int divisions, const std::string& more = "") {
  return fmt::format("<attributes><divisions>{}</divisions>{}</attributes>\n", divisions, more);
}
inline std::string time(int beats, int unit) {
  return fmt::format("<time><beats>{}</beats><beat-type>{}</beat-type></time>", beats, unit);
}
// What most of them begin with, and a measure of it.
inline const std::string kFour = attributes(1, time(4, 4));
inline const std::string kBar = n("C5", 4);
inline std::string backup(int duration) {
  return fmt::format("<backup><duration>{}</duration></backup>\n", duration);
}
inline std::string forward(int duration) {
  return fmt::format("<forward><duration>{}</duration></forward>\n", duration);
}
inline std::string repeat_begins() {
  return "<barline location='left'><repeat direction='forward'/></barline>\n";
}
inline std::string repeat_ends() {
  return "<barline location='right'><repeat direction='backward'/></barline>\n";
}
inline std::string ending(const std::string& number, const std::string& type) {
  return fmt::format("<barline><ending number='{}' type='{}'/></barline>\n", number, type);
}

// Measures count from 1; one whose body begins with "!" is not counted (implicit).
inline std::string score_text(const std::vector<std::string>& measures) {
  std::string text =
      "<?xml version='1.0'?>\n<score-partwise version='4.0'>\n<part-list><score-part id='P1'>"
      "<part-name>Piano</part-name></score-part></part-list>\n<part id='P1'>\n";
  int number = 0;
  for (const std::string& body : measures) {
    const bool implicit = body.starts_with("!");
    text += implicit ? fmt::format("<measure number='X{}' implicit='yes'>\n", number)
                     : fmt::format("<measure number='{}'>\n", ++number);
    text += body.substr(implicit ? 1 : 0) + "</measure>\n";
  }
  return text + "</part></score-partwise>\n";
}

// "0:100 2:92.5": moment and quarter notes a minute of each change.
inline std::string tempos_of(const Score& score) {
  std::string text;
  for (const TempoChange& change : score.tempo.changes()) {
    text += fmt::format("{}{:g}:{:.4g}", text.empty() ? "" : " ", change.at.value,
                        60e6 / static_cast<double>(change.microseconds_per_quarter));
  }
  return text;
}

// "0:C5/1 1:E5+G5/0.5": onset in quarter notes, key, length; by onset, part and key.
inline std::string notes_of(const Score& score) {
  constexpr const char* kNames[] = {"C",  "C#", "D",  "D#", "E",  "F",
                                    "F#", "G",  "G#", "A",  "A#", "B"};
  std::string text;
  for (const Note& note : score.notes) {
    text += fmt::format("{}{:g}:{}{}/{:g}", text.empty() ? "" : " ", note.onset.value,
                        kNames[note.key % 12], note.key / 12 - 1, note.length().value);
  }
  return text;
}

}  // namespace arsis::test
