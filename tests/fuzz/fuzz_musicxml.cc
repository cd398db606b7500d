// Any bytes at all, read as a MusicXML file, plain or in its container, played out, and bound
// without a plan.
#include <cstddef>
#include <cstdint>

#include "fuzz/check_score.h"
#include "musicxml/container.h"
#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"
#include "plan/binding.h"

using namespace arsis;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<std::string> text = musicxml_text_of(Bytes(data, data + size), "f");
  if (!text) return 0;
  const Result<XmlDocument> document = XmlDocument::parse(*text, "f");
  if (!document) return 0;
  const Result<Page> page = read_page(*document);
  if (!page) return 0;
  const Result<PrintedScore> played = played_score(*page, "f");
  if (!played) return 0;
  fuzz::check_score(played->score);
  // What a page prints is never at fault.
  fuzz::demand(static_cast<bool>(bind_plan(Plan{}, played->score, played->printed)));
  return 0;
}
