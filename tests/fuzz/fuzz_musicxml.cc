// Any bytes at all, read as a MusicXML file, plain or in its container, played out, laid under a
// plan that says nothing, and performed.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "fuzz/check_score.h"
#include "musicxml/container.h"
#include "musicxml/excerpt_writer.h"
#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"
#include "plan/binding.h"
#include "shape/perform.h"

using namespace arsis;

namespace {

// What printed.h promises.
void check_printed(const PrintedScore& read) {
  const Printed& printed = read.printed;
  fuzz::demand(printed.note_ids.size() == read.score.notes.size());
  for (std::size_t i = 0; i < printed.dynamics.size(); ++i) {
    const PrintedDynamic& dynamic = printed.dynamics[i];
    fuzz::demand(dynamic.from <= dynamic.to && dynamic.parts.size() == read.score.parts.size());
    fuzz::demand(dynamic.step.has_value() || dynamic.from < dynamic.to);
    fuzz::demand(i == 0 || printed.dynamics[i - 1].from <= dynamic.from);
  }
  for (const PrintedMark& mark : printed.marks) fuzz::demand(mark.note < read.score.notes.size());
  for (const PrintedSlur& slur : printed.slurs) {
    fuzz::demand(slur.first < read.score.notes.size() && slur.last < read.score.notes.size());
  }
  fuzz::demand(!printed.measures.empty());
  for (std::size_t i = 1; i < printed.measures.size(); ++i) {
    fuzz::demand(printed.measures[i - 1].begin <= printed.measures[i].begin);
  }
}

// Excerpts for an engraver: the first measures as they are played, one by one and all together.
void check_excerpts(const std::string& text, const Printed& printed) {
  constexpr std::size_t kMost = 20;
  const Result<ExcerptWriter> writer = ExcerptWriter::of_text(text, "f");
  fuzz::demand(static_cast<bool>(writer));
  std::vector<PageExcerptRequest> requests(1);
  for (std::size_t i = 0; i < std::min(kMost, printed.measures.size()); ++i) {
    requests.push_back({{printed.measures[i].index}, false});
    requests.front().measures.push_back(printed.measures[i].index);
  }
  const auto excerpts = writer->excerpts(requests);
  fuzz::demand(excerpts && excerpts->size() == requests.size());
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  constexpr std::size_t kMostPerformed = 2'000;  // notes
  const Result<std::string> text = musicxml_text_of(Bytes(data, data + size), "f");
  if (!text) return 0;
  const Result<XmlDocument> document = XmlDocument::parse(*text, "f");
  if (!document) return 0;
  const Result<Page> page = read_page(*document);
  if (!page) return 0;
  const Result<PrintedScore> played = played_score(*page, "f");
  if (!played) return 0;
  fuzz::check_score(played->score);
  check_printed(*played);
  check_excerpts(*text, played->printed);
  const Result<BoundPlan> bound = bind_plan(Plan{}, played->score, played->printed);
  fuzz::demand(static_cast<bool>(bound));
  if (played->score.notes.size() > kMostPerformed || played->score.end() > Beats{10'000.0}) {
    return 0;
  }
  const Shaped shaped = perform(played->score, *bound);
  for (std::size_t i = 0; i < shaped.levels.size(); ++i) {
    fuzz::demand(shaped.performance.notes[i].end >= shaped.performance.notes[i].onset);
  }
  return 0;
}
