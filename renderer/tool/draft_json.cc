#include "tool/draft_json.h"

#include <nlohmann/json.hpp>

#include "base/text.h"
#include "draft/draft_remarks.h"
#include "tool/report.h"

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kDraftVersion = 1;

Json boundaries_json(const Structure& structure) {
  Json motifs = Json::array();
  Json phrases = Json::array();
  Json sentences = Json::array();
  for (const Span& motif : structure.motifs) motifs.push_back(motif.begin.value);
  for (const std::uint32_t first : structure.phrases) phrases.push_back(motifs[first]);
  for (const std::uint32_t first : structure.sentences) sentences.push_back(phrases[first]);
  return {{"motif", std::move(motifs)},
          {"phrase", std::move(phrases)},
          {"sentence", std::move(sentences)}};
}

Json main_json(const std::string& block, const Choice& choice) {
  return {{"block", block},
          {"main", choice.main + 1},
          {"margin", choice.margin},
          {"doubtful", choice.doubtful},
          {"by_pattern", choice.by_pattern},
          {"reason", printable(reason_of(choice), kLongestText)}};
}

// Of each candidate what each feature says, weighed, in words where it has any.
Json evidence_json(const std::string& block, const Choice& choice) {
  Json candidates = Json::array();
  for (std::size_t i = 0; i < choice.candidates.size(); ++i) {
    Json features = Json::object();
    for (const FeatureWeight& feature : kFeatureWeights) {
      const Finding& finding = choice.candidates[i].of(feature.feature);
      features[std::string(feature.name)] = {{"score", finding.score * feature.weight},
                                             {"words", printable(finding.words, kLongestText)}};
    }
    candidates.push_back({{"member", i + 1},
                          {"total", choice.candidates[i].total},
                          {"features", std::move(features)}});
  }
  return {{"block", block}, {"candidates", std::move(candidates)}};
}

// Calls `visit` with the name and the choice of each block, a sentence before its phrases.
template <class Visit>
void each_choice(const Draft& draft, const Visit& visit) {
  const Structure& structure = draft.structures.front().structure;
  for (std::size_t i = 0; i < structure.sentences.size(); ++i) {
    const std::string name = std::to_string(i + 1);
    visit(name, draft.mains.sentences[i]);
    const std::size_t end =
        i + 1 < structure.sentences.size() ? structure.sentences[i + 1] : structure.phrases.size();
    for (std::size_t k = structure.sentences[i]; k < end; ++k) {
      visit(name + "." + std::to_string(k - structure.sentences[i] + 1), draft.mains.phrases[k]);
    }
  }
  if (draft.mains.piece) visit("piece", *draft.mains.piece);
}

Json roles_json(const Draft& draft) {
  Json roles = Json::array();
  for (const DraftedPart& part : draft.parts) {
    const std::string_view hand = kHandNames[static_cast<std::size_t>(part.plan.hand)];
    roles.push_back({{"name", part.plan.name},
                     {"track", *part.plan.track},
                     {"channel", *part.plan.channel},
                     {"hand", hand.empty() ? Json(nullptr) : Json(hand)},
                     {"role", kRoleNames[static_cast<std::size_t>(part.plan.role)]},
                     {"reason", printable(part.words, kLongestText)}});
  }
  return roles;
}

Json alternatives_json(const Draft& draft) {
  Json others = Json::array();
  for (std::size_t i = 1; i < draft.structures.size(); ++i) {
    const ScoredStructure& other = draft.structures[i];
    Json words = Json::array();
    for (const std::string& each : other.instead) words.push_back(printable(each, kLongestText));
    others.push_back({{"total", other.total},
                      {"boundaries", boundaries_json(other.structure)},
                      {"instead", std::move(words)}});
  }
  return others;
}

}  // namespace

std::string draft_json(const Draft& draft) {
  Json mains = Json::array();
  Json evidence = Json::array();
  each_choice(draft, [&](const std::string& block, const Choice& choice) {
    mains.push_back(main_json(block, choice));
    evidence.push_back(evidence_json(block, choice));
  });
  const ScoredStructure& best = draft.structures.front();
  Json words = Json::array();
  for (const std::string& each : best.phrase_words) words.push_back(printable(each, kLongestText));
  const Json json = {{"arsis", kDraftVersion},
                     {"title", draft.plan.title},
                     {"score", printable(draft.score.file, kLongestText)},
                     {"boundaries", boundaries_json(best.structure)},
                     {"phrase_reasons", std::move(words)},
                     {"mains", std::move(mains)},
                     {"evidence", std::move(evidence)},
                     {"roles", roles_json(draft)},
                     {"total", best.total},
                     {"alternatives", alternatives_json(draft)}};
  return json.dump(2) + "\n";
}

}  // namespace arsis
