#include "tool/draft_files.h"

#include <fmt/format.h>

#include "base/files.h"
#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;

std::string path_from(const fs::path& score, const fs::path& plan) {
  if (plan.empty()) return score.generic_string();
  const fs::path folder = fs::absolute(plan).lexically_normal().parent_path();
  const fs::path relative = fs::absolute(score).lexically_normal().lexically_relative(folder);
  return (relative.empty() ? fs::absolute(score) : relative).generic_string();
}

bool can_be_named(const std::string& path) {
  constexpr std::size_t kLongestScorePath = 1000;  // bytes, as the plan reader has it
  return path.size() <= kLongestScorePath && printable(path, path.size()) == path;
}

int put_plan(const DraftArgs& args, const std::string& text) {
  if (args.output.empty()) {
    if (!args.json) fmt::print("{}", text);
    return kDone;
  }
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data());
  const Result<Done> written = write_file(args.output, {bytes, text.size()});
  report(written.diagnostics());
  return written ? kDone : kInputAtFault;
}

}  // namespace arsis
