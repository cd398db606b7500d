// A score from a MusicXML file: as it is played, repeats and jumps written out.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "musicxml/page.h"
#include "plan/printed.h"
#include "score/score.h"

namespace arsis {

struct PrintedScore {
  Score score;
  Printed printed;
};

// By the file's ending, in small or capital letters: .musicxml, .xml, .mxl.
bool is_musicxml(const std::filesystem::path& path);

// Reads and plays out the file. Errors and warnings: of read_musicxml_text, XmlDocument and
// read_page.
Result<PrintedScore> read_musicxml(const std::filesystem::path& path);

// The same of a page that was read. Each staff is a part: the two of a single instrument are called
// "right hand" and "left hand". Notes that are tied are one. A measure that is divided in the print
// (its second half is not counted) is one bar; a first one that is not counted is the pickup. Notes
// have the level of mf, velocity 64: what is printed gives them theirs.
// Errors: there is no note, or too much with all repeats. Warning: a measure is never played.
Result<PrintedScore> played_score(const Page& page, const std::string& file);

}  // namespace arsis
