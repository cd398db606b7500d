// The readings of a block, found and put into a plan. A reading is an index and a name rather than
// a plan of its own: a long piece has as many readings as sentences, and a plan for each at once
// would need memory by the square.
#include "plan/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

namespace arsis {
namespace {

// The index of the sentence in which that one's phrases are written.
std::size_t written_in(const Plan& plan, std::size_t sentence) {
  return plan.sentences[sentence].like.value_or(sentence);
}

const std::vector<PhrasePlan>& phrases_of(const Plan& plan, std::size_t sentence) {
  return plan.sentences[written_in(plan, sentence)].phrases;
}

std::size_t members_of(const Plan& plan, const LedBlock& block) {
  if (block.level == Level::kPiece) return plan.sentences.size();
  const std::vector<PhrasePlan>& phrases = phrases_of(plan, block.sentence);
  return block.level == Level::kSentence ? phrases.size() : phrases[block.phrase].motifs.size();
}

std::optional<std::size_t> main_of(const Plan& plan, const LedBlock& block) {
  if (block.level == Level::kPiece) return plan.main;
  if (block.level == Level::kSentence) return plan.sentences[block.sentence].main;
  return phrases_of(plan, block.sentence)[block.phrase].main;
}

Reading reading_of(Level level, std::optional<std::size_t> main, bool is_own) {
  const auto member = name_of(kEveryLevel[index_of(level) - 1]);
  const std::string name =
      main ? fmt::format("{} {} leads", member, *main + 1) : fmt::format("no {} leads", member);
  return {main, name, is_own};
}

}  // namespace

bool has_block(const Plan& plan, const LedBlock& block) {
  if (block.level == Level::kMotif) return false;
  if (block.level == Level::kPiece) return !plan.sentences.empty();
  if (block.sentence >= plan.sentences.size()) return false;
  return block.level == Level::kSentence || block.phrase < phrases_of(plan, block.sentence).size();
}

std::vector<Reading> readings_of(const Plan& plan, const LedBlock& block) {
  assert(has_block(plan, block));
  const std::optional<std::size_t> own = main_of(plan, block);
  std::vector<Reading> readings = {reading_of(block.level, own, true)};
  for (std::size_t i = 0; i < members_of(plan, block); ++i) {
    if (i != own) readings.push_back(reading_of(block.level, i, false));
  }
  return readings;
}

Plan with_reading(Plan plan, const LedBlock& block, const Reading& reading) {
  assert(has_block(plan, block));
  assert(reading.main ? *reading.main < members_of(plan, block) : block.level == Level::kPiece);
  if (block.level == Level::kPiece) {
    plan.main = reading.main;
  } else if (block.level == Level::kSentence) {
    plan.sentences[block.sentence].main = *reading.main;
  } else {
    SentencePlan& sentence = plan.sentences[written_in(plan, block.sentence)];
    sentence.phrases[block.phrase].main = *reading.main;
  }
  return plan;
}

}  // namespace arsis
