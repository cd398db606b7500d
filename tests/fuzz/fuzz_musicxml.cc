// Any bytes at all, read as a MusicXML file, plain or in its container, and played out.
#include <cstddef>
#include <cstdint>

#include "fuzz/check_score.h"
#include "musicxml/container.h"
#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"

using namespace arsis;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<std::string> text = musicxml_text_of(Bytes(data, data + size), "f");
  if (!text) return 0;
  const Result<XmlDocument> document = XmlDocument::parse(*text, "f");
  if (!document) return 0;
  const Result<Page> page = read_page(*document);
  if (!page) return 0;
  const Result<PrintedScore> played = played_score(*page, "f");
  if (played) fuzz::check_score(played->score);
  return 0;
}
