#include "tool/keep_reading.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/files.h"
#include "plan/plan_edit.h"
#include "plan/plan_reader.h"
#include "plan/yaml_tree.h"
#include "tool/heard_readings.h"

namespace arsis {
namespace {

// What leads everywhere once the reading is kept.
ChosenMains kept_mains(const Plan& plan, const LedBlock& block, const Reading& reading) {
  if (block.level != Level::kPhrase || !plan.sentences[block.sentence].like) {
    return mains_of(with_reading(plan, block, reading));
  }
  ChosenMains mains = mains_of(plan);
  std::size_t before = 0;  // phrases of the sentences before it
  for (std::size_t i = 0; i < block.sentence; ++i) {
    const SentencePlan& sentence = plan.sentences[i];
    before += (sentence.like ? plan.sentences[*sentence.like] : sentence).phrases.size();
  }
  mains.phrases[before + block.phrase] = *reading.main;
  return mains;
}

Place place_of(const Plan& plan, const LedBlock& block) {
  if (block.level == Level::kPiece) return plan.main ? plan.main_place : plan.score_place;
  const SentencePlan& sentence = plan.sentences[block.sentence];
  if (block.level == Level::kSentence || sentence.like) return sentence.place;
  return sentence.phrases[block.phrase].place;
}

bool has_reading(const Plan& plan, const LedBlock& block, const Reading& reading) {
  return has_block(plan, block) &&
         std::ranges::any_of(readings_of(plan, block),
                             [&](const Reading& each) { return each.main == reading.main; });
}

}  // namespace

Result<Where> keep_reading(const std::string& plan, const LedBlock& block, const Reading& reading) {
  const Result<Bytes> bytes = read_file(plan, kMostYamlBytes);
  if (!bytes) return bytes.diagnostics();
  const std::string text(reinterpret_cast<const char*>(bytes->data()), bytes->size());
  const Result<Plan> before = parse_plan(text, plan);
  if (!before) return before.diagnostics();
  if (!has_reading(*before, block, reading)) {
    return fail({.file = plan}, fmt::format("has changed: {} is not as it was", name_of(block)),
                "begin again");
  }
  const ChosenMains wanted = kept_mains(*before, block, reading);
  const bool is_new = wanted.piece && !before->main;
  const std::string changed = is_new ? with_piece_main_in_text(text, *before, *wanted.piece)
                                     : with_mains_in_text(text, *before, wanted);
  const Result<Plan> after = parse_plan(changed, plan);
  if (!after || !(mains_of(*after) == wanted)) {
    return fail(before->where(place_of(*before, block)),
                fmt::format("the main of {} cannot be changed in this text", name_of(block)),
                "write it by hand");
  }
  const auto* written = reinterpret_cast<const std::uint8_t*>(changed.data());
  const Result<Done> done = write_file(plan, {written, changed.size()});
  if (!done) return done.diagnostics();
  return after->where(place_of(*after, block));
}

}  // namespace arsis
