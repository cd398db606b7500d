#include "tool/layer_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kMostAmount = 200.0;  // percent

std::vector<std::string_view> level_names() {
  std::vector<std::string_view> names;
  for (const Level level : kEveryLevel) names.push_back(name_of(level));
  return names;
}

// Sets every level that `words` names to `heard`.
void set_levels(const std::vector<std::string>& words, std::string_view option, bool heard,
                Layers& layers, Diagnostics& errors) {
  const std::vector<std::string_view> names = level_names();
  for (const std::string& word : words) {
    const auto found = std::ranges::find(names, trimmed(word));
    if (found == names.end()) {
      errors.push_back(error({}, fmt::format("{} '{}' is no level", option, printable(word)),
                             "write " + listed(names)));
      continue;
    }
    layers.heard[static_cast<std::size_t>(found - names.begin())] = heard;
  }
}

}  // namespace

void add_layer_options(CLI::App& command, LayerOptions& options) {
  // One word each, with commas inside, so that a plan named after it is not taken for a level.
  command
      .add_option("--only", options.only,
                  "hear these levels alone: of motif,phrase,sentence,piece, joined by commas")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->type_name("LEVELS");
  command.add_option("--without", options.without, "leave these levels out")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->type_name("LEVELS");
  command.add_option("--amount", options.amount, "how much of the shaping, 0% (flat) to 200%")
      ->capture_default_str();
  command.add_option("--touch", options.touch,
                     "on, or off: no balance, voicing, lead or articulation; left out: on, but off "
                     "for a score without a plan under --amount 0%");
  command.add_option("--seed", options.seed,
                     "a whole number: add the small unevenness of a hand, the same each time");
}

Result<Layers> layers_of(const LayerOptions& options) {
  Layers layers;
  Diagnostics errors;
  if (!options.only.empty()) layers.heard.fill(false);
  set_levels(options.only, "--only", true, layers, errors);
  set_levels(options.without, "--without", false, layers, errors);
  const auto amount = parse_number_with_unit(options.amount);
  if (amount && amount->unit == "%" && amount->number >= 0.0 && amount->number <= kMostAmount) {
    layers.amount = amount->number / 100.0;
  } else {
    errors.push_back(error({}, fmt::format("--amount cannot be '{}'", printable(options.amount)),
                           "write 0% to 200%"));
  }
  if (options.touch.empty() || options.touch == "on" || options.touch == "off") {
    layers.touch = options.touch != "off";
  } else {
    errors.push_back(error({}, fmt::format("--touch cannot be '{}'", printable(options.touch)),
                           "write on or off"));
  }
  if (!options.seed.empty()) {
    const auto seed = parse_integer(options.seed);
    if (seed && *seed >= 0) {
      layers.seed = static_cast<std::uint64_t>(*seed);
    } else {
      errors.push_back(error({}, fmt::format("--seed cannot be '{}'", printable(options.seed)),
                             "write a whole number, 0 or above"));
    }
  }
  if (!errors.empty()) return errors;
  return layers;
}

Layers layers_for(const Loaded& loaded, Layers layers, const LayerOptions& options) {
  if (loaded.is_score_alone && layers.amount == 0.0 && options.touch.empty()) layers.touch = false;
  return layers;
}

}  // namespace arsis
