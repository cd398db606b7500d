#include "tool/prepare.h"

#include <utility>

#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {

std::optional<Prepared> prepare(const std::string& plan, const PassageOptions& passage_words,
                                const LevelOptions& levels, const std::string& soundfont,
                                int& code) {
  Result<Loaded> loaded = load(plan);
  report(loaded.diagnostics());
  code = kInputAtFault;
  if (!loaded) return std::nullopt;
  Result<Passage> passage = passage_of(passage_words, *loaded);
  report(passage.diagnostics());
  code = kUsageAtFault;
  if (!passage) return std::nullopt;
  if (passage->voice != Voice::kScore && levels.levels == "measured") {
    report({warning({}, "a sung melody has its levels in expression, which the law rules",
                    "--levels measured is passed over")});
  }
  Result<Instrument> instrument = instrument_of(
      levels, *loaded, [&] { return choose_soundfont(soundfont, plan); }, code);
  report(instrument.diagnostics());
  if (!instrument) return std::nullopt;
  loaded->score = with_speed(std::move(loaded->score), passage->speed);
  code = kDone;
  return Prepared{*std::move(loaded), *std::move(passage), *std::move(instrument)};
}

}  // namespace arsis
