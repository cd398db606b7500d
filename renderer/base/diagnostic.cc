#include "base/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace arsis {
namespace {

constexpr std::size_t kLongestName = 4096;  // bytes of a path

}  // namespace

std::string to_string(const Diagnostic& diagnostic) {
  const Where& where = diagnostic.where;
  std::string text = printable(where.file, kLongestName);
  if (where.line > 0) text += fmt::format(":{}:{}", where.line, where.column);
  if (!text.empty()) text += ": ";
  if (!where.part.empty()) text += where.part + ": ";
  if (diagnostic.severity == Severity::kWarning) text += "warning: ";
  text += diagnostic.problem;
  if (!diagnostic.remedy.empty()) text += "; " + diagnostic.remedy;
  return text;
}

Diagnostic error(Where where, std::string problem, std::string remedy) {
  return {std::move(where), Severity::kError, std::move(problem), std::move(remedy)};
}

Diagnostic warning(Where where, std::string problem, std::string remedy) {
  return {std::move(where), Severity::kWarning, std::move(problem), std::move(remedy)};
}

Diagnostics fail(Where where, std::string problem, std::string remedy) {
  Diagnostics diagnostics;
  diagnostics.push_back(error(std::move(where), std::move(problem), std::move(remedy)));
  return diagnostics;
}

void append(Diagnostics& all, const Diagnostics& more) {
  all.insert(all.end(), more.begin(), more.end());
}

void append_once(Diagnostics& all, const Diagnostics& more) {
  for (const Diagnostic& each : more) {
    if (std::ranges::find(all, each) == all.end()) all.push_back(each);
  }
}

bool has_errors(const Diagnostics& diagnostics) {
  return std::ranges::any_of(diagnostics,
                             [](const Diagnostic& d) { return d.severity == Severity::kError; });
}

}  // namespace arsis
