#include "tool/staves.h"

#include <cstdlib>
#include <memory>
#include <optional>
#include <vector>

#include "base/files.h"
#include "musicxml/score_reader.h"
#include "page/staff.h"
#include "plan/plan_reader.h"
#include "tool/report.h"

namespace arsis {
namespace fs = std::filesystem;

FieldSource staves_of(const Loaded& loaded) {
  const fs::path score = score_path(loaded.plan);
  if (!is_musicxml(score)) return {};
  const auto said = std::make_shared<bool>(false);  // a page draws its systems for two widths
  return [&loaded, score, said](std::span<const System> systems, Millimetres room) {
    const auto say = [&said](const Diagnostics& reasons) {
      for (const Diagnostic& reason : reasons) {
        if (!*said) report({warning(reason.where, reason.problem, reason.remedy)});
      }
      *said = *said || !reasons.empty();
    };
    const auto plainly = [&](const Diagnostics& reasons) {
      say(reasons);
      return std::vector<std::optional<NoteField>>{};
    };
    const char* environment = std::getenv("ARSIS_ENGRAVER");
    const Result<Engraver> engraver =
        find_engraver({environment == nullptr ? "" : environment, cache_folder()});
    if (!engraver) return plainly(engraver.diagnostics());
    auto fields = staff_fields({score, loaded.score, loaded.printed, *engraver}, systems, room);
    if (!fields) return plainly(fields.diagnostics());
    say(fields.diagnostics());
    return *std::move(fields);
  };
}

}  // namespace arsis
