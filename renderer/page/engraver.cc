#include "page/engraver.h"

#include <engraver_script.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <future>
#include <iterator>
#include <thread>

#include "base/child_process.h"
#include "base/text.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kMostAnswer = std::size_t{256} << 20;  // bytes; a system has some 50,000
const char* const kHowToFetch =
    "renderer/page/engraver/install.sh fetches it with npm; --staff off draws the notes plainly";

bool has_library(const fs::path& folder) {
  std::error_code ignored;
  return fs::is_regular_file(folder / "node_modules/verovio/package.json", ignored);
}

Diagnostics no_staff(std::string problem, std::string remedy) {
  return fail({.file = "engraved staff"}, std::move(problem), std::move(remedy));
}

using Pictures = Result<std::vector<std::string>>;

// A process takes half a second to start, an excerpt a tenth of that: so many are worth one.
constexpr std::size_t kExcerptsOfAProcess = 16;
constexpr std::size_t kMostProcesses = 4;  // each takes 130 MB and more

std::size_t processes_for(std::size_t excerpts) {
  const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
  return std::clamp<std::size_t>(excerpts / kExcerptsOfAProcess, 1,
                                 std::min(cores, kMostProcesses));
}

Pictures engraved_by_one(const Engraver& engraver, std::span<const EngravingTask> excerpts) {
  std::string input;
  for (const EngravingTask& excerpt : excerpts) {
    input += fmt::format("{} {}\n", excerpt.musicxml.size(),
                         std::lround(excerpt.width / kStaffSpace * 18.0));
    input += excerpt.musicxml;
  }
  const ChildLimits limits{engraver.patience, kMostAnswer};
  const ChildAnswer answer = ask_child({engraver.node, "--input-type=module", "--eval",
                                        std::string(kEngraverScript), engraver.folder.string()},
                                       input, limits);
  switch (answer.end) {
    case ChildEnd::kNotStarted:
      return no_staff("node is not here, which the engraving library runs in",
                      "Debian and Ubuntu: sudo apt install nodejs; --staff off draws the notes "
                      "plainly");
    case ChildEnd::kTooLong:
      return no_staff(
          fmt::format("engraving takes more than {} s",
                      short_number(std::chrono::duration<double>(engraver.patience).count())),
          "choose a passage, or --staff off, which draws the notes plainly");
    case ChildEnd::kTooMuch:
      return no_staff("the engraving is larger than is read",
                      "choose a passage, or --staff off, which draws the notes plainly");
    case ChildEnd::kAnswered:
      break;
  }
  return read_answer(answer.out, excerpts.size());
}

}  // namespace

Result<Engraver> find_engraver(const EngraverSearch& search) {
  Engraver engraver;
  if (!search.environment.empty()) {
    engraver.folder = search.environment;
    if (has_library(engraver.folder)) return engraver;
    return no_staff(fmt::format("ARSIS_ENGRAVER names '{}', where no engraving library is",
                                printable(search.environment)),
                    kHowToFetch);
  }
  engraver.folder = search.cache / fmt::format("verovio-{}", kEngraverVersion);
  if (!search.cache.empty() && has_library(engraver.folder)) return engraver;
  return no_staff("the engraving library is not here", kHowToFetch);
}

Result<std::vector<std::string>> engrave(const Engraver& engraver,
                                         std::span<const EngravingTask> excerpts) {
  const std::size_t processes = processes_for(excerpts.size());
  std::vector<std::future<Pictures>> parts;
  for (std::size_t i = 0; i < processes; ++i) {
    const std::size_t begin = excerpts.size() * i / processes;
    const std::size_t end = excerpts.size() * (i + 1) / processes;
    parts.push_back(
        std::async(std::launch::async, [&engraver, part = excerpts.subspan(begin, end - begin)] {
          return engraved_by_one(engraver, part);
        }));
  }
  std::vector<std::string> all;
  Diagnostics errors;
  for (std::future<Pictures>& part : parts) {
    Pictures pictures = part.get();
    if (!pictures) {
      errors = pictures.diagnostics();  // those of one will do
      continue;
    }
    std::ranges::move(*pictures, std::back_inserter(all));
  }
  if (!errors.empty()) return errors;
  return all;
}

Result<std::vector<std::string>> read_answer(std::string_view answer, std::size_t excerpts) {
  const auto line = [&answer] {
    const std::size_t end = std::min(answer.find('\n'), answer.size());
    const std::string_view found = answer.substr(0, end);
    answer.remove_prefix(std::min(end + 1, answer.size()));
    return found;
  };
  if (line() != "ready") return no_staff("the engraving library does not start", kHowToFetch);
  std::vector<std::string> pictures;
  while (pictures.size() < excerpts) {
    const std::string_view head = line();
    if (head == "none 0") {
      pictures.emplace_back();
      continue;
    }
    const auto length = head.starts_with("svg ") ? parse_integer(head.substr(4)) : std::nullopt;
    if (!length || *length < 1 || static_cast<std::size_t>(*length) > answer.size()) {
      return no_staff("the engraving library has failed", "--staff off draws the notes plainly");
    }
    pictures.emplace_back(answer.substr(0, static_cast<std::size_t>(*length)));
    answer.remove_prefix(static_cast<std::size_t>(*length));
  }
  return pictures;
}

}  // namespace arsis
