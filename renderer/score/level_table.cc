#include "score/level_table.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

namespace arsis {
namespace {

constexpr int kMostVelocity = 127;
constexpr double kRounding = 1e-3;  // dB

// Pools neighbours that fall to their mean until none does.
void pool(std::vector<LevelPoint>& points) {
  struct Pool {
    double sum = 0.0;
    std::size_t count = 0;
    double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Pool> pools;
  for (const LevelPoint& point : points) {
    pools.push_back({point.level.value, 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  auto point = points.begin();
  for (const Pool& pooled : pools) {
    // A pool of one keeps its very number, so that pooling what rises changes no bit of it.
    if (pooled.count == 1) {
      ++point;
      continue;
    }
    for (std::size_t i = 0; i < pooled.count; ++i) (point++)->level = {pooled.mean()};
  }
}

// By velocity, each once, numbers only; pooled; relative to the last.
void tidy(KeyLevels& key) {
  std::map<Velocity, Decibels> by_velocity;
  for (const LevelPoint& point : key.points) {
    if (std::isfinite(point.level.value)) by_velocity[point.velocity] = point.level;
  }
  key.points.clear();
  for (const auto& [velocity, level] : by_velocity) key.points.push_back({velocity, level});
  pool(key.points);
  if (key.points.empty()) return;
  const Decibels reference = key.points.back().level;
  for (LevelPoint& point : key.points) point.level -= reference;
}

bool says_enough(const KeyLevels& key) {
  return key.points.size() >= 2 && key.points.back().velocity.value() == kMostVelocity &&
         key.key >= 0 && key.key <= 127;
}

double between(double at, double from, double to, double first, double last) {
  return first + (last - first) * (at - from) / (to - from);
}

}  // namespace

LevelTable LevelTable::of(std::vector<KeyLevels> keys) {
  std::map<int, KeyLevels> by_key;
  for (KeyLevels& key : keys) {
    tidy(key);
    if (says_enough(key)) by_key[key.key] = std::move(key);
  }
  LevelTable table;
  for (auto& [number, key] : by_key) {
    table.rows_.push_back(row_of(key));
    table.keys_.push_back(std::move(key));
  }
  return table;
}

LevelTable::Row LevelTable::row_of(const KeyLevels& key) {
  Row row{};
  auto next = key.points.begin();  // the first point at or above the velocity
  for (int velocity = 1; velocity <= kMostVelocity; ++velocity) {
    while (next->velocity.value() < velocity) ++next;
    double& level = row[static_cast<std::size_t>(velocity - 1)];
    if (next->velocity.value() == velocity) {
      level = next->level.value;
    } else if (next == key.points.begin()) {
      level = next->level.value + 40.0 * std::log10(double(velocity) / next->velocity.value());
    } else {
      const LevelPoint& before = *std::prev(next);
      level = between(std::log(velocity), std::log(before.velocity.value()),
                      std::log(next->velocity.value()), before.level.value, next->level.value);
    }
  }
  return row;
}

Decibels LevelTable::level_of(Velocity velocity, int key) const {
  assert(!empty() && key >= 0 && key <= 127);
  const auto column = static_cast<std::size_t>(velocity.value() - 1);
  const auto above = std::ranges::lower_bound(keys_, key, {}, &KeyLevels::key);
  const auto place = static_cast<std::size_t>(above - keys_.begin());
  if (above == keys_.end()) return {rows_.back()[column]};
  if (above == keys_.begin() || above->key == key) return {rows_[place][column]};
  return {between(key, keys_[place - 1].key, above->key, rows_[place - 1][column],
                  rows_[place][column])};
}

Velocity LevelTable::velocity_for(Decibels level, int key) const {
  int fits = 1;
  int too_loud = kMostVelocity + 1;
  while (too_loud - fits > 1) {
    const int middle = (fits + too_loud) / 2;
    const bool passes = level_of(Velocity::clamped(middle), key).value > level.value + kRounding;
    (passes ? too_loud : fits) = middle;
  }
  return Velocity::clamped(fits);
}

}  // namespace arsis
