#include "tool/levels.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/level_options.h"
#include "tool/level_store.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

using Json = nlohmann::ordered_json;

constexpr int kLevelsVersion = 1;
constexpr int kMostProgram = 128;

Result<std::vector<int>> programs_named(const std::vector<std::string>& words) {
  std::vector<int> programs;
  Diagnostics errors;
  for (const std::string& word : words) {
    const auto number = parse_integer(trimmed(word));
    if (!number || *number < 1 || *number > kMostProgram) {
      errors.push_back(error({}, fmt::format("--program cannot be '{}'", printable(word)),
                             "write numbers from 1 to 128, joined by commas"));
      continue;
    }
    const int program = static_cast<int>(*number) - 1;
    if (std::ranges::count(programs, program) == 0) programs.push_back(program);
  }
  if (!errors.empty()) return errors;
  return programs;
}

// "1 to 5, 7 and 9 to 128", numbers as musicians say them.
std::string listed_programs(const std::vector<int>& programs) {
  std::string text;
  for (std::size_t i = 0; i < programs.size();) {
    std::size_t end = i + 1;
    while (end < programs.size() && programs[end] == programs[end - 1] + 1) ++end;
    if (!text.empty()) text += end == programs.size() ? " and " : ", ";
    text += end - i == 1 ? fmt::format("{}", programs[i] + 1)
                         : fmt::format("{} to {}", programs[i] + 1, programs[end - 1] + 1);
    i = end;
  }
  return text;
}

// Those asked for, or all; errors where the SoundFont lacks one or cannot be loaded.
Result<std::vector<int>> programs_to_measure(const std::vector<int>& asked,
                                             const fs::path& soundfont) {
  Result<std::vector<int>> there = melodic_programs(soundfont);
  if (!there) return there.diagnostics();
  const Where where{.file = soundfont.string()};
  if (there->empty()) return fail(where, "has no programs for melodies", "try another");
  if (asked.empty()) return there;
  Diagnostics errors;
  for (const int program : asked) {
    if (std::ranges::count(*there, program) > 0) continue;
    errors.push_back(error(where, fmt::format("has no program {}", program + 1),
                           "it has " + listed_programs(*there)));
  }
  if (!errors.empty()) return errors;
  return asked;
}

Json program_json(int program, const LevelTable& table) {
  Json keys = Json::array();
  for (const KeyLevels& key : table.keys()) {
    Json levels = Json::array();
    for (const LevelPoint& point : key.points) {
      levels.push_back({{"velocity", point.velocity.value()}, {"level_db", point.level.value}});
    }
    keys.push_back({{"key", key.key}, {"levels", std::move(levels)}});
  }
  Json json = {{"program", program + 1}, {"keys", std::move(keys)}};
  if (!table.empty()) json["largest_deviation_db"] = largest_deviation(table).by.value;
  return json;
}

std::string json_text(const LevelSurvey& survey, const fs::path& soundfont) {
  Json json = {{"arsis", kLevelsVersion}, {"soundfont", printable(soundfont.string(), 1000)}};
  Json programs = Json::array();
  for (const auto& [program, table] : survey) programs.push_back(program_json(program, table));
  json["programs"] = std::move(programs);
  return json.dump(2) + "\n";
}

// One program in full; of many, one line each.
std::string text_of(const LevelSurvey& survey, bool in_full) {
  std::string text;
  for (const auto& [program, table] : survey) {
    if (table.empty()) {
      text += fmt::format("Program {}: sounds on no key\n", program + 1);
    } else if (in_full) {
      text += (text.empty() ? "" : "\n") + level_report(program, table);
    } else {
      const double by = largest_deviation(table).by.value;
      text += fmt::format("Program {:>3}: {:>5.1f} dB too {} where it is farthest from the law\n",
                          program + 1, std::abs(by), by > 0.0 ? "loud" : "soft");
    }
  }
  if (!in_full) text += "Name some with --program for their tables.\n";
  return text;
}

}  // namespace

int run_levels(const LevelsArgs& args) {
  const Result<std::vector<int>> asked = programs_named(args.programs);
  if (!asked) return report(asked.diagnostics()), kUsageAtFault;
  const Result<fs::path> soundfont = choose_soundfont(args.soundfont, {});
  if (!soundfont) return report(soundfont.diagnostics()), kDeviceMissing;
  const Result<std::vector<int>> programs = programs_to_measure(*asked, *soundfont);
  if (!programs) return report(programs.diagnostics()), kDeviceMissing;
  const Result<LevelSurvey> survey = survey_of(*soundfont, *programs, true);
  report(survey.diagnostics());
  if (!survey) return kDeviceMissing;
  if (args.json) {
    fmt::print("{}", json_text(*survey, *soundfont));
    return kDone;
  }
  const bool in_full = !asked->empty() || survey->size() == 1;
  fmt::print("{}\n{}", printable(soundfont->string(), 1000), text_of(*survey, in_full));
  return kDone;
}

void add_levels(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<LevelsArgs>();
  CLI::App* command =
      app.add_subcommand("levels", "Measure how loud a SoundFont sounds at each velocity");
  command->add_option("--soundfont", args->soundfont, "an SF2 or SF3 file");
  command
      ->add_option("--program", args->programs,
                   "these programs, 1 to 128, joined by commas; left out: all")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->type_name("NUMBERS");
  command->add_flag("--json", args->json, "print the levels as JSON");
  command->callback([&run, args] { run = [args] { return run_levels(*args); }; });
}

}  // namespace arsis
