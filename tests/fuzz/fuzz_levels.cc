// Any bytes at all, read as kept levels; what can be read is written and read again, and asked.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "tool/level_store.h"

namespace {

using namespace arsis;

void demand(bool holds) {
  if (!holds) std::abort();
}

void ask(const LevelTable& table) {
  if (table.empty()) return;
  for (int key = 0; key <= 127; key += 9) {
    for (const double wanted : {-90.0, -30.0, -6.0, 0.0}) {
      const Velocity found = table.velocity_for({wanted}, key);
      const double level = table.level_of(found, key).value;
      demand(level <= 1e-9);
      demand(found.value() == 1 || level <= wanted + 0.0011);
    }
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const Result<LevelSurvey> survey = parse_levels(text, "f");
  demand(static_cast<bool>(survey) != has_errors(survey.diagnostics()));
  if (!survey) return 0;
  const Result<LevelSurvey> again = parse_levels(levels_text(*survey, "x"), "f");
  demand(static_cast<bool>(again) && *again == *survey);
  for (const auto& [program, table] : *survey) ask(table);
  return 0;
}
