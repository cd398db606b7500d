#include "tool/draft_command.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

#include "base/files.h"
#include "base/text.h"
#include "draft/cell.h"
#include "draft/draft.h"
#include "draft/draft_remarks.h"
#include "plan/plan_reader.h"
#include "plan/values.h"
#include "plan/yaml_tree.h"
#include "tool/draft_files.h"
#include "tool/draft_json.h"
#include "tool/draft_mains.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::string_view kCellRemedy = "write a length and a place, such as '1 bar from 0:3'";

// Whether the words say one thing and no other.
Diagnostics input_questions(const DraftArgs& args) {
  if (args.score.empty() == args.mains.empty()) {
    return fail({}, args.score.empty() ? "no score is named" : "--mains names a score already",
                "write arsis draft SCORE, or arsis draft --mains PLAN");
  }
  if (args.mains.empty()) {
    const std::string ending = lower_case(fs::path(args.score).extension().string());
    if (ending != ".yaml" && ending != ".yml") return {};
    return fail({.file = args.score}, "is a plan already",
                "name a score, or --mains and a plan whose mains are to be chosen anew");
  }
  if (is_score(args.mains)) {
    return fail({.file = args.mains}, "is a score, and --mains takes a plan",
                "leave out --mains to draft a plan for it");
  }
  if (args.json || args.why || !args.cell.empty() || args.alternatives != "0") {
    return fail({}, "--mains keeps the plan's structure and text",
                "leave out --json, --why, --cell and --alternatives");
  }
  return {};
}

// Whether the plan may be written where the words say.
Diagnostics output_questions(const DraftArgs& args) {
  std::error_code ignored;
  if (args.output.empty()) return {};
  if (!args.score.empty() && same_file(args.output, args.score)) {
    return fail({.file = args.output}, "is what the plan is drafted from",
                "name another file to write");
  }
  if (is_score(args.output)) {
    return fail({.file = args.output}, "is a score or has the name of one",
                "give the plan a name that ends in .yaml");
  }
  if (fs::exists(args.output, ignored) && !args.force) {
    return fail({.file = args.output}, "is there already",
                "name another file, or add --force to replace it");
  }
  return {};
}

std::optional<std::size_t> alternatives_of(const DraftArgs& args) {
  constexpr auto kMost = static_cast<std::int64_t>(kMostStructures) - 1;
  const auto number = parse_integer(trimmed(args.alternatives));
  if (number && *number >= 0 && *number <= kMost) return static_cast<std::size_t>(*number);
  report({error({}, fmt::format("--alternatives cannot be '{}'", printable(args.alternatives)),
                fmt::format("write how many to tell, 0 to {}", kMost))});
  return std::nullopt;
}

// "1 bar from 0:3" on that score; complains where it cannot be.
std::optional<Cell> cell_of(const std::string& words, const Score& score) {
  const auto complain = [&](std::string_view what, std::string_view remedy) {
    report({error({}, fmt::format("--cell '{}' {}", printable(words), what), std::string(remedy))});
    return std::nullopt;
  };
  const std::size_t from = words.find(" from ");
  if (from == std::string::npos) return complain("says no length and place", kCellRemedy);
  const auto length = parse_length(trimmed(std::string_view(words).substr(0, from)));
  const auto position = parse_position(trimmed(std::string_view(words).substr(from + 6)));
  if (!length || !position) return complain("says no length and place", kCellRemedy);
  const auto at = score.bars.moment_of(*position);
  if (!at || *at >= score.end()) {
    return complain("begins where no notes are left", "name a place before the last note");
  }
  const Beats begin = score.snapped(*at);
  return Cell{usual_length(score.bars, *length, begin), begin};
}

// "plan.yaml: 6 sentences, 14 phrases, 36 motifs; 5 of 20 choices are in doubt".
std::string summary_of(const DraftArgs& args, const Draft& draft) {
  const Structure& structure = draft.structures.front().structure;
  std::size_t choices = 0;
  std::size_t doubts = 0;
  for (const auto* list : {&draft.mains.phrases, &draft.mains.sentences}) {
    for (const Choice& choice : *list) {
      choices += choice.candidates.size() > 1 ? 1 : 0;
      doubts += choice.doubtful ? 1 : 0;
    }
  }
  const auto counted = [](std::size_t count, std::string_view noun) {
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
  };
  return fmt::format("{}: {}, {}, {}; {} of {} in doubt\n", args.output,
                     counted(structure.sentences.size(), "sentence"),
                     counted(structure.phrases.size(), "phrase"),
                     counted(structure.motifs.size(), "motif"), doubts, counted(choices, "choice"));
}

// The plan's text with as many remarks as a plan's file has room for; none where even without any
// it could not be read back.
std::optional<std::string> readable_text(const Draft& draft, bool why) {
  std::string text = plan_text(draft.plan, remarks_of(draft, why));
  if (text.size() > kMostYamlBytes) text = plan_text(draft.plan, remarks_of(draft, false));
  if (text.size() > kMostYamlBytes) text = plan_text(draft.plan);
  if (!parse_plan(text, draft.plan.score)) return std::nullopt;
  return text;
}

int draft_score(const DraftArgs& args, std::size_t alternatives) {
  Result<PrintedScore> read = read_any_score(args.score);
  report(read.diagnostics());
  if (!read) return kInputAtFault;
  StructureWishes wishes;
  wishes.count = alternatives + 1;
  if (!args.cell.empty()) {
    wishes.cell = cell_of(args.cell, read->score);
    if (!wishes.cell) return kUsageAtFault;
  }
  std::optional<Draft> draft =
      draft_of(std::move(read->score), read->printed, is_musicxml(args.score), wishes);
  if (!draft) {
    report({error({.file = args.score}, "has no melody to draft a plan for",
                  "percussion is not shaped; name a score with notes of pitch")});
    return kInputAtFault;
  }
  draft->plan.score = path_from(args.score, args.output);
  if (!can_be_named(draft->plan.score)) {
    report({error({.file = printable(args.score)}, "has a name that no plan can hold",
                  "give the file a short name of plain letters")});
    return kInputAtFault;
  }
  const std::optional<std::string> text = readable_text(*draft, args.why);
  if (!text) {
    report({error({.file = args.score}, "has more blocks than a plan can hold",
                  "name a shorter piece")});
    return kInputAtFault;
  }
  const int code = put_plan(args, *text);
  if (code != kDone) return code;
  if (args.json) fmt::print("{}", draft_json(*draft));
  if (!args.json && !args.output.empty()) fmt::print("{}", summary_of(args, *draft));
  return kDone;
}

}  // namespace

int run_draft(const DraftArgs& args) {
  for (const Diagnostics& errors : {input_questions(args), output_questions(args)}) {
    report(errors);
    if (!errors.empty()) return kUsageAtFault;
  }
  if (!args.mains.empty()) return run_draft_mains(args);
  const auto alternatives = alternatives_of(args);
  return alternatives ? draft_score(args, *alternatives) : kUsageAtFault;
}

void add_draft(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<DraftArgs>();
  CLI::App* command = app.add_subcommand("draft", "Propose a plan for a score");
  command->add_option("score", args->score, "the score, a MIDI or MusicXML file");
  command->add_option("-o,--output", args->output, "the plan to write; left out: it is printed");
  command->add_flag("--force", args->force, "replace a plan that is there already");
  command->add_flag("--why", args->why, "with every candidate's score by feature");
  command
      ->add_option("--alternatives", args->alternatives,
                   "tell this many other structures, too, as remarks at the end")
      ->capture_default_str();
  command->add_option("--cell", args->cell,
                      "the even motif, where you know it, as in '1 bar from 0:3'");
  command->add_option("--mains", args->mains,
                      "choose the mains of this plan anew and keep all the rest");
  command->add_flag("--json", args->json, "print structure, mains and evidence as JSON");
  command->callback([&run, args] { run = [args] { return run_draft(*args); }; });
}

}  // namespace arsis
