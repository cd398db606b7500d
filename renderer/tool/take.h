// `arsis take`: its commands.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>

namespace arsis {

void add_take(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
