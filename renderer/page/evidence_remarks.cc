#include "page/evidence_remarks.h"

#include <fmt/format.h>

#include "draft/draft_remarks.h"
#include "draft/mains.h"

namespace arsis {
namespace {

// "motif 2 leads, climbs to G5"; "motif 1 leads here; the score speaks for 2, climbs to G5".
std::string words_of(const BoundPlan& plan, Level level, std::size_t index, const Choice& choice) {
  const Block& block = plan.level(level)[index];
  const std::string_view member = level == Level::kSentence ? "phrase" : "motif";
  const std::size_t main = block.main - block.first;
  if (main == choice.main) return fmt::format("{} {}", member, choice_words(choice));
  const std::string reason = reason_of(choice);
  return fmt::format("{} {} leads here; the score speaks for {}{}{}", member, main + 1,
                     choice.main + 1, reason.empty() ? "" : ": ", reason);
}

}  // namespace

std::vector<Remark> evidence_remarks(const Material& material) {
  const BoundPlan& plan = material.bound;
  std::vector<Remark> remarks;
  if (plan.sentences.empty()) return remarks;
  const Mains mains = choose_mains(material, structure_of(plan));
  const auto add = [&](Level level, std::size_t index, const Choice& choice) {
    if (plan.level(level)[index].count < 2) return;
    remarks.push_back({level, index, words_of(plan, level, index, choice)});
  };
  for (std::size_t i = 0; i < plan.sentences.size(); ++i) {
    add(Level::kSentence, i, mains.sentences[i]);
    const Block& sentence = plan.sentences[i];
    for (std::uint32_t k = 0; k < sentence.count; ++k) {
      add(Level::kPhrase, sentence.first + k, mains.phrases[sentence.first + k]);
    }
  }
  return remarks;
}

}  // namespace arsis
