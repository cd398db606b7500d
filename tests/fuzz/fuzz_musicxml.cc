// Any bytes at all, read as a MusicXML file, plain or in its container, and played out.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <map>
#include <tuple>

#include "musicxml/container.h"
#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"

namespace {

using namespace arsis;

void demand(bool holds) {
  if (!holds) std::abort();
}

// Notes in order and with length, no two of one key of a part at once; bars one after another.
void check_score(const Score& score) {
  std::map<std::tuple<int, int>, Beats> ends;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    demand(note.part < score.parts.size() && note.end > note.onset);
    demand(i == 0 || score.notes[i - 1].onset <= note.onset);
    Beats& end = ends[{note.part, note.key}];
    demand(end <= note.onset);
    end = note.end;
  }
  for (std::size_t i = 1; i < score.bars.all().size(); ++i) {
    demand(score.bars.all()[i - 1].span.end == score.bars.all()[i].span.begin);
  }
  for (const Part& part : score.parts) demand(part.track < score.tracks.size());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<std::string> text = musicxml_text_of(Bytes(data, data + size), "f");
  if (!text) return 0;
  const Result<XmlDocument> document = XmlDocument::parse(*text, "f");
  if (!document) return 0;
  const Result<Page> page = read_page(*document);
  if (!page) return 0;
  const Result<Score> score = played_score(*page, "f");
  if (score) check_score(*score);
  return 0;
}
