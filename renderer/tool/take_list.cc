#include "tool/take_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "base/text.h"
#include "plan/plan_reader.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"
#include "tool/take_file.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t kMostFiles = 10'000;  // of a folder
constexpr std::size_t kLongestTakeName = 200;

bool may_be_take(const fs::path& path) {
  const std::string name = lower_case(path.filename().string());
  return name.ends_with(".mid") || name.ends_with(".midi") || name.ends_with(kPartEnding);
}

std::string length_text(Seconds length) {
  const int seconds = static_cast<int>(length.value + 0.5);
  return fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

// The folder's takes by date; those that cannot be read are left out, with a warning.
std::vector<TakeFile> takes_in(const fs::path& folder, std::error_code& failed) {
  std::vector<fs::path> paths;
  for (fs::directory_iterator entry(folder, failed), end; !failed && entry != end;
       entry.increment(failed)) {
    std::error_code ignored;
    if (entry->is_regular_file(ignored) && may_be_take(entry->path())) {
      paths.push_back(entry->path());
    }
    if (paths.size() >= kMostFiles) break;
  }
  std::ranges::sort(paths);
  std::vector<TakeFile> takes;
  for (const fs::path& path : paths) {
    Result<TakeFile> take = read_take(path);
    if (take) {
      take->take = {};  // a folder of them need not be held
      takes.push_back(*std::move(take));
      continue;
    }
    for (Diagnostic why : take.diagnostics()) {
      why.severity = Severity::kWarning;
      report({why});
    }
  }
  std::ranges::stable_sort(takes, {}, &TakeFile::date);
  return takes;
}

std::string table_of(const std::vector<TakeFile>& takes) {
  std::size_t width = 4;
  for (const TakeFile& take : takes) {
    width = std::max(width, printable(take.path.filename().string(), kLongestTakeName).size());
  }
  std::string text =
      fmt::format("{:<{}}  {:<16}  {:>6}  {}\n", "take", width, "date", "length", "of");
  for (const TakeFile& take : takes) {
    text += fmt::format("{:<{}}  {:<16}  {:>6}  {}\n",
                        printable(take.path.filename().string(), kLongestTakeName), width,
                        take.date, length_text(take.length), take.title.empty() ? "-" : take.title);
  }
  return text;
}

std::string json_of(const std::vector<TakeFile>& takes) {
  nlohmann::ordered_json json = {{"arsis", 1}, {"takes", nlohmann::ordered_json::array()}};
  for (const TakeFile& take : takes) {
    json["takes"].push_back({{"file", printable(take.path.string(), 1000)},
                             {"date", take.date},
                             {"length_s", take.length.value},
                             {"title", take.title}});
  }
  return json.dump(2) + "\n";
}

}  // namespace

int run_take_list(const TakeListArgs& args) {
  fs::path folder = args.where;
  std::optional<std::string> title;
  std::error_code failed;
  if (!fs::is_directory(folder, failed)) {
    const Result<Plan> plan = read_plan(folder);
    if (!plan) return report(plan.diagnostics()), kInputAtFault;
    title = printable(plan->title, kLongestTakeName);
    if (title->empty()) {
      report(fail(plan->where({}), "has no title that its takes could be known by",
                  "add 'title:', or name the folder"));
      return kInputAtFault;
    }
    folder = folder.parent_path().empty() ? fs::path(".") : folder.parent_path();
  }
  failed.clear();
  std::vector<TakeFile> takes = takes_in(folder, failed);
  if (failed) {
    report(fail({.file = folder.string()}, "cannot be read: " + failed.message(),
                "name a folder, or a plan in it"));
    return kInputAtFault;
  }
  if (title) std::erase_if(takes, [&](const TakeFile& take) { return take.title != *title; });
  fmt::print("{}", args.json ? json_of(takes) : table_of(takes));
  return kDone;
}

void add_take_list(CLI::App& take, std::function<int()>& run) {
  const auto args = std::make_shared<TakeListArgs>();
  CLI::App* command = take.add_subcommand("list", "List the takes in a folder");
  command
      ->add_option("where", args->where,
                   "a folder; or a plan, whose takes in its own folder are listed")
      ->required();
  command->add_flag("--json", args->json, "print the list as JSON");
  command->callback([&run, args] { run = [args] { return run_take_list(*args); }; });
}

}  // namespace arsis
