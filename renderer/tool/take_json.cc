// The JSON that `take compare --json` prints.
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "tool/report.h"
#include "tool/take_words.h"

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kComparisonVersion = 1;

Json or_null(const std::optional<double>& value, double factor = 1.0) {
  return value ? Json(*value * factor) : Json(nullptr);
}
template <class Unit>
Json or_null(const std::optional<Quantity<Unit>>& value, double factor = 1.0) {
  return value ? Json(value->value * factor) : Json(nullptr);
}

void add_by(Json& json, const Audible& by) {
  json["level_db"] = or_null(by.level);
  json["time_percent"] = or_null(by.time, 100.0);
  json["steps"] = by.steps;
  json["error_steps"] = by.error;
}

class Writer {
 public:
  explicit Writer(const Loaded& loaded) : loaded_(loaded), plan_(loaded.bound) {}

  Json take(const ComparedTake& take) const {
    const Comparison& heard = take.comparison;
    Json json = {{"file", printable(take.file.path.string(), kLongestText)},
                 {"title", take.file.title},
                 {"date", take.file.date},
                 {"length_s", take.file.length.value}};
    json["played"] = played(take);
    json["melody_played"] = heard.melody_played;
    json["summary"] = summary_of(loaded_, take);
    json["piece"] = heard.piece ? lead("piece", Level::kSentence, *heard.piece) : Json(nullptr);
    json["sentences"] = Json::array();
    for (std::size_t i = 0; i < plan_.sentences.size(); ++i) {
      json["sentences"].push_back(sentence(heard, i));
    }
    json["dynamics"] = dynamics(heard.dynamics);
    json["tempo"] = {{"verdict", verdict_name(heard.tempo.verdict)},
                     {"speed_percent", or_null(heard.tempo.speed, 100.0)},
                     {"drift_percent", or_null(heard.tempo.drift, 100.0)}};
    json["balance"] = balance(heard);
    json["evenness"] = evenness(heard);
    return json;
  }

 private:
  std::string position(Beats at) const { return to_string(loaded_.score.bars.position_of(at)); }

  Json spans(const Alignment& alignment) const {
    Json list = Json::array();
    for (const PlayedStretch& stretch : alignment.stretches) {
      const bool again = stretch.again.length() > kSameMoment;
      list.push_back({{"from", position(stretch.score.begin)},
                      {"to", position(stretch.score.end)},
                      {"again_from", again ? Json(position(stretch.again.begin)) : Json(nullptr)},
                      {"again_to", again ? Json(position(stretch.again.end)) : Json(nullptr)}});
    }
    return list;
  }

  Json played(const ComparedTake& take) const {
    const Alignment& alignment = take.alignment;
    return {{"fit", alignment.fit},
            {"notes", take.file.take.notes.size()},
            {"paired", alignment.pairs.size()},
            {"wrong", alignment.wrong.size()},
            {"missing", alignment.missing.size()},
            {"extra", alignment.extra.size()},
            {"left_out", alignment.omitted.size()},
            {"stretches", spans(alignment)},
            {"course", course_of(loaded_, take)}};
  }

  // `within`: the level of its members.
  Json lead(const std::string& block, Level within, const Lead& lead) const {
    const bool known = lead.verdict != Verdict::kCannotTell;
    const auto name = [&](std::uint32_t member) {
      return known ? Json(block_name(plan_, within, member)) : Json(nullptr);
    };
    Json json = {{"name", block},
                 {"verdict", verdict_name(lead.verdict)},
                 {"planned", block_name(plan_, within, lead.planned)},
                 {"heard", name(lead.heard)},
                 {"against", name(lead.against)}};
    add_by(json, lead.by);
    return json;
  }

  Json sentence(const Comparison& heard, std::size_t index) const {
    Json json =
        lead(block_name(plan_, Level::kSentence, index), Level::kPhrase, heard.sentences[index]);
    json["phrases"] = Json::array();
    const Block& sentence = plan_.sentences[index];
    for (std::uint32_t p = sentence.first; p < sentence.first + sentence.count; ++p) {
      json["phrases"].push_back(phrase(heard, p));
    }
    return json;
  }

  Json phrase(const Comparison& heard, std::uint32_t index) const {
    Json json = lead(block_name(plan_, Level::kPhrase, index), Level::kMotif, heard.phrases[index]);
    const BlockEnd& end = heard.ends[index];
    json["breath"] = {{"verdict", verdict_name(end.breath)},
                      {"gap_ms", or_null(end.gap, 1e3)},
                      {"under_pedal", end.under_pedal}};
    json["closing"] = {{"verdict", verdict_name(end.closing)},
                       {"slowing_percent", or_null(end.slowing, 100.0)}};
    json["motifs"] = Json::array();
    const Block& phrase = plan_.phrases[index];
    for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
      Json motif = {{"name", block_name(plan_, Level::kMotif, m)},
                    {"verdict", verdict_name(heard.motifs[m].verdict)}};
      add_by(motif, heard.motifs[m].by);
      json["motifs"].push_back(std::move(motif));
    }
    return json;
  }

  Json dynamics(const DynamicsHeard& heard) const {
    Json list = Json::array();
    for (const DynamicChange& change : heard.changes) {
      list.push_back({{"kind", "change"},
                      {"from", position(change.at)},
                      {"from_step", change.from_step},
                      {"to_step", change.to_step},
                      {"verdict", verdict_name(change.verdict)},
                      {"heard_db", change.heard.value}});
    }
    for (const HairpinHeard& hairpin : heard.hairpins) {
      const bool swells = hairpin.swell && hairpin.swell->value > 0.0;
      list.push_back({{"kind", hairpin.falls ? "diminuendo" : "crescendo"},
                      {"from", position(hairpin.span.begin)},
                      {"to", position(hairpin.span.end)},
                      {"verdict", verdict_name(hairpin.verdict)},
                      {"heard_db", hairpin.heard.value},
                      {"swell_db", or_null(hairpin.swell)},
                      {"swells_at", swells ? Json(position(hairpin.swells_at)) : Json(nullptr)}});
    }
    return list;
  }

  std::string part(std::uint16_t index) const {
    return printable(plan_.parts[index].name, kLongestText);
  }

  Json balance(const Comparison& heard) const {
    Json list = Json::array();
    for (const BalanceHeard& balance : heard.balance) {
      list.push_back({{"part", part(balance.part)},
                      {"verdict", verdict_name(balance.verdict)},
                      {"planned_db", balance.planned.value},
                      {"heard_db", or_null(balance.heard)},
                      {"lead_ms", or_null(balance.lead, 1e3)}});
    }
    return list;
  }

  Json evenness(const Comparison& heard) const {
    Json list = Json::array();
    for (const EvennessHeard& evenness : heard.evenness) {
      list.push_back({{"part", part(evenness.part)},
                      {"verdict", verdict_name(evenness.verdict)},
                      {"intervals", evenness.intervals},
                      {"time_ms", or_null(evenness.time, 1e3)},
                      {"time_percent", or_null(evenness.share, 100.0)},
                      {"level_db", or_null(evenness.level)}});
    }
    return list;
  }

  const Loaded& loaded_;
  const BoundPlan& plan_;
};

}  // namespace

std::string comparison_json(const Loaded& loaded, const std::vector<ComparedTake>& takes) {
  Json json = {{"arsis", kComparisonVersion},
               {"plan", printable(loaded.plan.file, kLongestText)},
               {"title", printable(loaded.plan.title, kLongestText)},
               {"takes", Json::array()}};
  const Writer writer(loaded);
  for (const ComparedTake& take : takes) json["takes"].push_back(writer.take(take));
  return json.dump(2) + "\n";
}

}  // namespace arsis
