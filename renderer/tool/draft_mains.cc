#include "tool/draft_mains.h"

#include <fmt/format.h>

#include "base/files.h"
#include "base/text.h"
#include "draft/draft_remarks.h"
#include "plan/plan_edit.h"
#include "plan/plan_reader.h"
#include "plan/yaml_tree.h"
#include "tool/draft_files.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"

namespace arsis {
namespace {

ChosenMains chosen(const Mains& mains) {
  ChosenMains chosen;
  for (const Choice& choice : mains.phrases) chosen.phrases.push_back(choice.main);
  for (const Choice& choice : mains.sentences) chosen.sentences.push_back(choice.main);
  if (mains.piece) chosen.piece = mains.piece->main;
  return chosen;
}

// "phrase 2.1: motif 2 leads instead of 1, climbs to G5", for each block in order of the plan.
template <class Visit>
void each_block(const BoundPlan& bound, const Mains& mains, const Visit& visit) {
  for (std::size_t i = 0; i < bound.sentences.size(); ++i) {
    visit(Level::kSentence, i, mains.sentences[i]);
    const Block& sentence = bound.sentences[i];
    for (std::uint32_t k = 0; k < sentence.count; ++k) {
      visit(Level::kPhrase, sentence.first + k, mains.phrases[sentence.first + k]);
    }
  }
}

// What has changed from one choice to the other, and what would have, were it not for the long
// form.
void tell(const Loaded& loaded, const Mains& mains, const ChosenMains& before,
          const ChosenMains& after) {
  each_block(loaded.bound, mains, [&](Level level, std::size_t index, const Choice& choice) {
    const bool phrase = level == Level::kPhrase;
    const std::size_t was = (phrase ? before.phrases : before.sentences)[index];
    const std::size_t is = (phrase ? after.phrases : after.sentences)[index];
    const std::string name =
        fmt::format("{} {}", name_of(level), block_name(loaded.bound, level, index));
    const std::string_view member = phrase ? "motif" : "phrase";
    if (is != choice.main) {
      const Block& block = loaded.bound.level(level)[index];
      report({warning(loaded.plan.where(block.place),
                      fmt::format("{} keeps its main {} {}", name, member, is + 1),
                      fmt::format("{} {} here; write it by hand", member, choice_words(choice)))});
    } else if (is != was) {
      report(fmt::format("{}: {} {}; it was {}", name, member, choice_words(choice), was + 1));
    }
  });
}

}  // namespace

int run_draft_mains(const DraftArgs& args) {
  const Result<Bytes> bytes = read_file(args.mains, kMostYamlBytes);
  if (!bytes) return report(bytes.diagnostics()), kInputAtFault;
  std::string text(reinterpret_cast<const char*>(bytes->data()), bytes->size());
  const Result<Loaded> loaded = load(args.mains);
  report(loaded.diagnostics());
  if (!loaded) return kInputAtFault;
  const Mains mains = choose_mains(Material{loaded->score, loaded->bound, loaded->printed},
                                   structure_of(loaded->bound));
  const ChosenMains before = mains_of(loaded->plan);
  text = with_mains_in_text(text, loaded->plan, chosen(mains));
  const Result<Plan> changed = parse_plan(text, args.mains);
  if (!changed) {
    report({error({.file = args.mains}, "its mains cannot be changed in this text",
                  "write the feet plainly, such as u / u")});
    return kInputAtFault;
  }
  if (!args.output.empty()) {
    const auto moved =
        with_score_in_text(text, *changed, path_from(score_path(*changed), args.output));
    if (moved) text = *moved;
  }
  tell(*loaded, mains, before, mains_of(*changed));
  return put_plan(args, text);
}

}  // namespace arsis
