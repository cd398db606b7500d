// The table and the plot of one program's levels.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tool/levels.h"

namespace arsis {
namespace {

constexpr std::size_t kMostColumns = 5;  // keys shown beside one another

std::vector<int> velocities_of(const LevelTable& table) {
  std::vector<int> velocities;
  for (const KeyLevels& key : table.keys()) {
    for (const LevelPoint& point : key.points) velocities.push_back(point.velocity.value());
  }
  std::ranges::sort(velocities);
  velocities.erase(std::unique(velocities.begin(), velocities.end()), velocities.end());
  return velocities;
}

double mean_level(const LevelTable& table, int velocity) {
  double sum = 0.0;
  for (const KeyLevels& key : table.keys()) {
    sum += table.level_of(Velocity::clamped(velocity), key.key).value;
  }
  return sum / static_cast<double>(table.keys().size());
}

double law(int velocity) { return level_of(Velocity::clamped(velocity)).value; }

// "C4" for 60.
std::string name_of_key(int key) {
  constexpr std::string_view kNames[] = {"C",  "C#", "D",  "D#", "E",  "F",
                                         "F#", "G",  "G#", "A",  "A#", "B"};
  return fmt::format("{}{}", kNames[key % 12], key / 12 - 1);
}

// Evenly spread over those measured, both ends among them.
std::vector<int> columns_of(const LevelTable& table) {
  const std::size_t count = table.keys().size();
  const std::size_t shown = std::min(count, kMostColumns);
  std::vector<int> keys;
  for (std::size_t i = 0; i < shown; ++i) {
    keys.push_back(table.keys()[shown == 1 ? 0 : i * (count - 1) / (shown - 1)].key);
  }
  return keys;
}

std::string rows_text(const LevelTable& table) {
  const std::vector<int> keys = columns_of(table);
  std::string text = "velocity";
  for (const int key : keys) text += fmt::format("{:>8}", name_of_key(key));
  text += fmt::format("{:>9}{:>9}\n", "mean", "law");
  for (const int velocity : velocities_of(table)) {
    text += fmt::format("{:>8}", velocity);
    for (const int key : keys) {
      text += fmt::format("{:>8.1f}", table.level_of(Velocity::clamped(velocity), key).value);
    }
    text += fmt::format("{:>9.1f}{:>9.1f}\n", mean_level(table, velocity), law(velocity));
  }
  return text;
}

std::string deviation_text(const LevelTable& table) {
  const Deviation most = largest_deviation(table);
  constexpr double kClose = 0.25;  // dB; FluidSynth alone steps its levels by 0.1 dB
  if (std::abs(most.by.value) < kClose) {
    return fmt::format("It follows the law within {:.1f} dB.\n", std::abs(most.by.value));
  }
  return fmt::format("Farthest from the law: {:.1f} dB too {}, at velocity {} on {}.\n",
                     std::abs(most.by.value), most.by.value > 0.0 ? "loud" : "soft",
                     most.velocity.value(), name_of_key(most.key));
}

// Velocity from left to right, level upwards.
std::string plot_text(const LevelTable& table) {
  constexpr int kStep = 3;      // dB a row
  constexpr int kRows = 21;     // down to -60 dB
  constexpr int kColumns = 64;  // two velocities each
  std::vector<std::string> rows(kRows, std::string(kColumns, ' '));
  const auto put = [&](int velocity, double level, char mark) {
    const auto row = static_cast<std::size_t>(std::lround(std::max(-level, 0.0) / kStep));
    if (row >= rows.size()) return;
    char& at = rows[row][static_cast<std::size_t>(velocity / 2)];
    at = at == ' ' || at == mark ? mark : '*';
  };
  for (int velocity = 1; velocity <= 127; ++velocity) put(velocity, law(velocity), '.');
  for (const int velocity : velocities_of(table)) put(velocity, mean_level(table, velocity), 'o');
  std::string text;
  for (int row = 0; row < kRows; ++row) {
    std::string& line = rows[static_cast<std::size_t>(row)];
    line.erase(line.find_last_not_of(' ') + 1);
    const std::string label = row % 5 == 0 ? fmt::format("{} dB", -kStep * row) : "";
    text += fmt::format("{:>8} |{}\n", label, line);
  }
  text += fmt::format("{:>9}{}\n", '+', std::string(kColumns, '-'));
  text += fmt::format("{:>11}{:>16}{:>16}{:>16}{:>15}\n", 1, 32, 64, 96, 127);
  return text + "          o measured (mean of all keys)   . the law   * both\n";
}

}  // namespace

Deviation largest_deviation(const LevelTable& table) {
  Deviation most{Velocity::clamped(127), table.keys().front().key, {0.0}};
  for (const KeyLevels& key : table.keys()) {
    for (const LevelPoint& point : key.points) {
      const Decibels by = point.level - level_of(point.velocity);
      if (std::abs(by.value) > std::abs(most.by.value)) most = {point.velocity, key.key, by};
    }
  }
  return most;
}

std::string level_report(int program, const LevelTable& table) {
  return fmt::format("Program {}: level in dB below velocity 127, by key\n\n{}\n{}\n{}",
                     program + 1, rows_text(table), plot_text(table), deviation_text(table));
}

}  // namespace arsis
