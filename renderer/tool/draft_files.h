// What the forms of `arsis draft` share: names of files, and how a plan gets out.
#pragma once

#include <filesystem>
#include <string>

#include "tool/draft_command.h"

namespace arsis {

// The score as a plan at `plan` has to name it, seen from its folder. `plan` may be empty: then as
// it is.
std::string path_from(const std::filesystem::path& score, const std::filesystem::path& plan);

// Whether a plan can hold the path: one line of UTF-8 of at most 1000 bytes.
bool can_be_named(const std::string& path);

// Writes the plan's text where `args` says, or prints it. The exit code.
int put_plan(const DraftArgs& args, const std::string& text);

}  // namespace arsis
