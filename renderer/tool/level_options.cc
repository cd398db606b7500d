#include "tool/level_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <memory>
#include <set>

#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/level_store.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::array<std::string_view, 3> kChoices = {"measured", "law", "plan"};

void append_as_warnings(Diagnostics& all, Diagnostics more) {
  for (Diagnostic& diagnostic : more) {
    diagnostic.severity = Severity::kWarning;
    all.push_back(std::move(diagnostic));
  }
}

bool plan_has_levels(const Loaded& loaded) {
  return loaded.plan.levels != nullptr ||
         std::ranges::any_of(loaded.plan.parts,
                             [](const PartPlan& part) { return part.levels != nullptr; });
}

Instrument instrument_of_plan(const Loaded& loaded) {
  Instrument instrument;
  if (!plan_has_levels(loaded)) return instrument;
  for (const BoundPart& part : loaded.bound.parts) instrument.by_part.push_back(part.levels);
  return instrument;
}

Result<Instrument> measured_instrument(const Loaded& loaded, const fs::path& soundfont) {
  const std::vector<std::uint8_t> programs = programs_of(loaded.score);
  const std::set<int> used(programs.begin(), programs.end());
  const Result<LevelSurvey> survey =
      survey_of(soundfont, std::vector<int>(used.begin(), used.end()), false);
  if (!survey) return survey.diagnostics();
  Instrument instrument;
  for (const auto& [program, table] : *survey) {
    if (table.empty()) continue;
    instrument.by_program[static_cast<std::size_t>(program)] =
        std::make_shared<const LevelTable>(table);
  }
  return {std::move(instrument), survey.diagnostics()};
}

}  // namespace

void add_level_options(CLI::App& command, LevelOptions& options) {
  command
      .add_option("--levels", options.levels,
                  "how loud the instrument sounds at each velocity: measured (of the SoundFont), "
                  "plan (the plan's levels:) or law (the standard's); left out: the plan's where "
                  "it has them")
      ->type_name("WHICH");
}

Diagnostics level_usage(const LevelOptions& options) {
  if (options.levels.empty() || std::ranges::count(kChoices, options.levels) > 0) return {};
  return {error({}, fmt::format("--levels cannot be '{}'", printable(options.levels)),
                "write " + listed(kChoices))};
}

Result<Instrument> instrument_of(const LevelOptions& options, const Loaded& loaded,
                                 const FindSoundFont& soundfont, int& code) {
  if (options.levels == "law") return Instrument{};
  if (options.levels == "measured") {
    code = kDeviceMissing;
    const Result<fs::path> found = soundfont();
    if (!found) return found.diagnostics();
    return measured_instrument(loaded, *found);
  }
  if (options.levels == "plan" && !plan_has_levels(loaded)) {
    code = kInputAtFault;
    return fail({.file = loaded.plan.file}, "has no levels (--levels plan)",
                "add 'levels:', or write --levels law or measured");
  }
  return instrument_of_plan(loaded);
}

Result<LevelSurvey> survey_of(const fs::path& soundfont, std::span<const int> programs, bool anew) {
  Diagnostics warnings;
  const fs::path store = level_store_of(soundfont);
  const Result<LevelSurvey> kept = read_levels(store);
  append_as_warnings(warnings, kept.diagnostics());
  LevelSurvey known = kept ? *kept : LevelSurvey{};

  SurveyRequest request;
  request.soundfont = soundfont;
  for (const int program : programs) {
    if (anew || !known.contains(program)) request.programs.push_back(program);
  }
  if (!request.programs.empty()) {
    Progress progress("measuring levels");
    request.progress = [&](double done) { progress.show(done); };
    Result<LevelSurvey> measured = survey_levels(request);
    if (!measured) return measured.diagnostics();
    for (auto& [program, table] : *measured) known[program] = std::move(table);
    append_as_warnings(warnings, write_levels(known, soundfont, store).diagnostics());
  }
  LevelSurvey asked;
  for (const int program : programs) asked[program] = known[program];
  return {std::move(asked), std::move(warnings)};
}

}  // namespace arsis
