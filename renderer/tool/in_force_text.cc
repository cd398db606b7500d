// Dynamics and marks in force, and bars that are played again, as `check` prints them.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <map>

#include "base/text.h"
#include "tool/in_force.h"

namespace arsis {
namespace {

std::string place_text(const Where& where) {
  const std::string name = std::filesystem::path(where.file).filename().string();
  return fmt::format("{}:{}", printable(name, 200), where.line);
}

std::string what_text(const InForce& entry) {
  return entry.part.empty() ? entry.text
                            : fmt::format("{} ({})", entry.text, printable(entry.part, 200));
}

std::string section(const Loaded& loaded, std::string_view heading,
                    const std::vector<InForce>& entries, bool all) {
  if (entries.empty()) return {};
  const std::size_t shown = all ? entries.size() : std::min(entries.size(), kMostShown);
  std::size_t width = 16;
  for (std::size_t i = 0; i < shown; ++i) width = std::max(width, what_text(entries[i]).size());
  std::string text = fmt::format("\n{}\n", heading);
  for (std::size_t i = 0; i < shown; ++i) {
    const InForce& entry = entries[i];
    text += fmt::format("  {:<8} {:<{}}  {}", to_string(loaded.score.bars.position_of(entry.at)),
                        what_text(entry), width, place_text(entry.source));
    if (entry.instead_of) text += ", in place of " + place_text(*entry.instead_of);
    text += "\n";
  }
  if (shown < entries.size()) {
    text += fmt::format("  ... and {} more; --printed shows all\n", entries.size() - shown);
  }
  return text;
}

// Bars that follow each other by number and are played as often.
struct Run {
  int first = 0;
  int last = 0;
  int times = 0;
};

std::vector<Run> repeated(const Bars& bars) {
  std::map<int, int> times;
  for (const Bar& bar : bars.all()) {
    int& most = times[bar.number];
    most = std::max(most, bar.pass);
  }
  std::vector<Run> runs;
  for (const auto& [number, count] : times) {
    if (count < 2) continue;
    if (!runs.empty() && runs.back().last == number - 1 && runs.back().times == count) {
      runs.back().last = number;
    } else {
      runs.push_back({number, number, count});
    }
  }
  return runs;
}

std::string times_text(int times) {
  constexpr std::array<std::string_view, 5> kWords = {"twice", "three times", "four times",
                                                      "five times", "six times"};
  const auto index = static_cast<std::size_t>(times - 2);
  return index < kWords.size() ? std::string(kWords[index]) : fmt::format("{} times", times);
}

}  // namespace

std::string in_force_text(const Loaded& loaded, bool all) {
  return section(loaded, "dynamics", dynamics_in_force(loaded), all) +
         section(loaded, "marks", marks_in_force(loaded), all);
}

std::string repeats_text(const Bars& bars) {
  constexpr std::size_t kMostRuns = 6;
  const std::vector<Run> runs = repeated(bars);
  if (runs.empty()) return {};
  std::string text;
  for (std::size_t i = 0; i < std::min(runs.size(), kMostRuns); ++i) {
    const bool one = runs[i].first == runs[i].last;
    if (i > 0) text += ", ";
    text += bars_text(runs[i].first, runs[i].last);
    if (i == 0) text += one ? " is played" : " are played";
    text += " " + times_text(runs[i].times);
  }
  if (runs.size() > kMostRuns) text += " ...";
  const std::string once = to_string(Position{runs.front().first, 1.0, 1});
  const std::string again = to_string(Position{runs.front().first, 1.0, 2});
  return text + fmt::format(": {} is the first time, {} the second", once, again);
}

}  // namespace arsis
