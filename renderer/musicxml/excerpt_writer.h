// Excerpts of a page, each a small MusicXML text of its own, for an engraver: measures in any order
// with the clefs, keys and signatures that hold there, and with ids by which its notes are found
// again in what is engraved.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "musicxml/page_layout.h"
#include "musicxml/xml_document.h"

namespace arsis {

struct PageExcerptRequest {
  std::vector<std::uint32_t> measures;  // indices in the file's order, as PrintedMeasure has them
  bool names_parts = false;             // before their staves, where there are several
};

// The element of an excerpt's note.
struct ExcerptNote {
  std::size_t measure = 0;  // index into PageExcerptRequest::measures
  std::string id;           // as Printed::note_ids has it
};

class ExcerptWriter {
 public:
  // Measures of all requests and all their parts together. An excerpt of one is some thousand
  // bytes.
  static constexpr std::size_t kMostMeasures = 20'000;

  // Errors: of read_musicxml_text() and XmlDocument; it is no score.
  static Result<ExcerptWriter> read(const std::filesystem::path& path);
  static Result<ExcerptWriter> of_text(std::string_view text, const std::string& name);

  // A text for each request, always by parts (partwise), without headings, layout and chord
  // symbols. At its beginning stand the clef, key and transposition in force, and the time
  // signature where it is new there; so it is where measures follow each other that do not in
  // print. Slurs, hairpins and octave lines that come from before or go on after are cut to the
  // excerpt; a tie that leaves it sounds on. Metronome marks become words. Errors: more than
  // kMostMeasures, a measure that is none.
  Result<std::vector<std::string>> excerpts(std::span<const PageExcerptRequest> requests) const;

  // What the id of a note in an excerpt means; none where it is no such id.
  std::optional<ExcerptNote> note(std::string_view engraved_id) const;

 private:
  ExcerptWriter(XmlDocument document, std::string file);

  std::string file_;
  XmlDocument document_;
  Layout layout_;
  std::vector<std::vector<pugi::xml_node>> notes_;  // [part][count - 1], all elements `note`
};

}  // namespace arsis
