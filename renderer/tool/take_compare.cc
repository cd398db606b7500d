#include "tool/take_compare.h"

#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "base/files.h"
#include "base/text.h"
#include "plan/plan_reader.h"
#include "tool/exit_code.h"
#include "tool/prepare.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"
#include "tool/take_words.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

// None: it could not be read, or is a take of something else; that is reported.
std::optional<ComparedTake> compared(const Loaded& loaded, const std::string& path,
                                     const Instrument& instrument) {
  Result<AlignedTake> take = read_take_of(loaded, path);
  report(take.diagnostics());
  if (!take) return std::nullopt;
  Comparison comparison =
      compare(loaded.score, loaded.bound, take->file.take, take->alignment, instrument);
  return ComparedTake{std::move(take->file), std::move(take->alignment), std::move(comparison)};
}

bool write_alignment(const Loaded& loaded, const ComparedTake& take, const std::string& path) {
  nlohmann::ordered_json json;
  json["pairs"] = numbered_pairs(loaded.score, take.alignment);
  const std::string text = json.dump() + "\n";
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data());
  const Result<Done> written = write_file(path, {bytes, text.size()});
  report(written.diagnostics());
  return static_cast<bool>(written);
}

// Whether writing the alignment would destroy what it is made from.
bool destroys_an_input(const TakeCompareArgs& args, const Loaded& loaded) {
  const auto is_output = [&](const fs::path& input) { return same_file(args.alignment, input); };
  if (!is_output(args.plan) && !is_output(args.takes.front()) && !is_output(loaded.score.file)) {
    return false;
  }
  report(fail({.file = args.alignment}, "is what the alignment is made from",
              "name another file to write"));
  return true;
}

void print_one(const Loaded& loaded, const ComparedTake& take) {
  const Alignment& alignment = take.alignment;
  fmt::print("{}: {} of {} written notes were played, {} wrong, {} missing; {} more were played\n",
             printable(take.file.path.string(), 200), alignment.pairs.size(),
             alignment.pairs.size() + alignment.wrong.size() + alignment.missing.size(),
             alignment.wrong.size(), alignment.missing.size(), alignment.extra.size());
  for (const std::string& line : course_of(loaded, take)) fmt::print("{}\n", line);
  fmt::print("\n");
  for (const std::string& line : summary_of(loaded, take)) fmt::print("{}\n", line);
  const std::string table = comparison_table(loaded, take);
  if (!table.empty()) fmt::print("\n{}", table);
}

Diagnostics usage_errors(const TakeCompareArgs& args) {
  Diagnostics errors = level_usage(args.levels);
  if (args.takes.size() > TakeCompareArgs::kMostTakes) {
    errors.push_back(error({}, "these are too many takes for one run",
                           fmt::format("name at most {}", TakeCompareArgs::kMostTakes)));
  }
  if (!args.alignment.empty() && args.takes.size() > 1) {
    errors.push_back(error({}, "--alignment is of one take", "name one take"));
  }
  return errors;
}

}  // namespace

int run_take_compare(const TakeCompareArgs& args) {
  if (const Diagnostics errors = usage_errors(args); !errors.empty()) {
    return report(errors), kUsageAtFault;
  }
  int code = kDone;
  const auto prepared = prepare(args.plan, {}, args.levels, args.soundfont, code);
  if (!prepared) return code;
  const Loaded& loaded = prepared->loaded;
  std::vector<ComparedTake> takes;
  for (const std::string& path : args.takes) {
    std::optional<ComparedTake> take = compared(loaded, path, prepared->instrument);
    if (take) {
      takes.push_back(*std::move(take));
    } else {
      code = kInputAtFault;
    }
  }
  // What is said of some takes only would be taken for all.
  if (code != kDone) return code;
  if (!args.alignment.empty()) {
    if (destroys_an_input(args, loaded)) return kUsageAtFault;
    if (!write_alignment(loaded, takes.front(), args.alignment)) return kInputAtFault;
  }
  if (args.json) {
    fmt::print("{}", comparison_json(loaded, takes));
  } else if (takes.size() == 1) {
    print_one(loaded, takes.front());
  } else {
    fmt::print("{}", trend_table(takes));
  }
  return kDone;
}

void add_take_compare(CLI::App& take, std::function<int()>& run) {
  const auto args = std::make_shared<TakeCompareArgs>();
  CLI::App* command =
      take.add_subcommand("compare", "Tell, block by block, what of a plan is heard in a take");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  command->add_option("take", args->takes, "what was played, MIDI files; several: a line for each")
      ->required();
  command->add_option("--alignment", args->alignment,
                      "write which played note is which written one, as JSON");
  add_level_options(*command, args->levels);
  command->add_option("--soundfont", args->soundfont, "the SoundFont for --levels measured");
  command->add_flag("--json", args->json, "print the comparison as JSON");
  command->callback([&run, args] { run = [args] { return run_take_compare(*args); }; });
}

}  // namespace arsis
