// Any bytes at all, read as a score (MIDI, or a page where they begin as one), drafted, written as
// a plan, read back and laid over the score: always a plan, always the drafted blocks.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "draft/draft.h"
#include "draft/draft_remarks.h"
#include "fuzz/check_score.h"
#include "musicxml/container.h"
#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"
#include "plan/plan_reader.h"
#include "plan/plan_writer.h"
#include "plan/yaml_tree.h"
#include "smf/midi_file.h"
#include "smf/score_reader.h"

namespace {

using namespace arsis;
using fuzz::demand;

std::optional<PrintedScore> page_of(const std::uint8_t* data, std::size_t size) {
  const Result<std::string> text = musicxml_text_of(Bytes(data, data + size), "f");
  if (!text) return std::nullopt;
  const Result<XmlDocument> document = XmlDocument::parse(*text, "f");
  if (!document) return std::nullopt;
  const Result<Page> page = read_page(*document);
  if (!page) return std::nullopt;
  Result<PrintedScore> played = played_score(*page, "f");
  return played ? std::optional(*std::move(played)) : std::nullopt;
}

std::optional<PrintedScore> midi_score_of(const std::uint8_t* data, std::size_t size) {
  const Result<MidiFile> file = read_midi({data, size}, "f");
  if (!file) return std::nullopt;
  Result<Score> score = score_of(*file, "f");
  return score ? std::optional(PrintedScore{*std::move(score), {}}) : std::nullopt;
}

void check_plan(const PrintedScore& of, bool has_page, const Draft& draft,
                const std::string& text) {
  if (text.size() > kMostYamlBytes) return;  // the program leaves the remarks out then
  const Result<Plan> plan = parse_plan(text, "p");
  demand(static_cast<bool>(plan) && plan.diagnostics().empty());
  const Score score = has_page ? of.score : with_plan_hands(of.score, *plan);
  demand(score.parts.size() == draft.score.parts.size());
  const Result<BoundPlan> bound = bind_plan(*plan, score, of.printed);
  demand(static_cast<bool>(bound));
  const std::vector<Span>& motifs = draft.structures.front().structure.motifs;
  demand(bound->motifs.size() == motifs.size());
  for (std::size_t i = 0; i < motifs.size(); ++i) {
    demand(std::abs((bound->motifs[i].span.begin - motifs[i].begin).value) < 1e-3);
  }
  for (std::size_t i = 0; i < bound->phrases.size(); ++i) {
    demand(bound->phrases[i].main - bound->phrases[i].first == draft.mains.phrases[i].main);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const bool has_page = data[0] != 'M' && data[0] != 'R';  // MThd, or RIFF
  const auto of = has_page ? page_of(data, size) : midi_score_of(data, size);
  // Drafting takes time by bars, of which a few bytes can make very many.
  if (!of || of->score.bars.all().size() > 100) return 0;
  StructureWishes wishes;
  wishes.count = 1 + size % 3;
  const std::optional<Draft> draft = draft_of(of->score, of->printed, has_page, wishes);
  if (!draft) return 0;
  Draft named = *draft;
  named.plan.score = "f.mid";
  check_plan(*of, has_page, named, plan_text(named.plan, remarks_of(named, size % 2 == 0)));
  return 0;
}
