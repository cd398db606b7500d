#include "tool/level_store.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "base/files.h"
#include "base/text.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

// Read as sorted maps: the ordered kind searches all its keys for each new one, which a hostile
// text of a million keys would turn into hours.
using PlainJson = nlohmann::json;
using OrderedJson = nlohmann::ordered_json;

constexpr int kStoreVersion = 1;
constexpr std::size_t kMostBytes = 4 << 20;  // five times a full General MIDI survey
constexpr int kDeepest = 8;                  // levels of brackets; ours go to 7
constexpr double kMostLevel = 400.0;         // dB either way
constexpr std::size_t kLongestStem = 64;

constexpr const char* kRemedy = "delete it; it is made anew when levels are measured";

// A name for a file, whatever the SoundFont's own has in it.
std::string plain(const std::string& name) {
  std::string text = name.substr(0, kLongestStem);
  for (char& letter : text) {
    const bool fits = (letter >= '0' && letter <= '9') || (letter >= 'a' && letter <= 'z') ||
                      (letter >= 'A' && letter <= 'Z') || letter == '-' || letter == '_';
    if (!fits) letter = '_';
  }
  return text;
}

OrderedJson key_json(const KeyLevels& key) {
  OrderedJson points = OrderedJson::array();
  for (const LevelPoint& point : key.points) {
    points.push_back({point.velocity.value(), point.level.value});
  }
  return {{"key", key.key}, {"points", std::move(points)}};
}

// The key of a map, or null; nothing here throws, whatever the value is.
const PlainJson& item(const PlainJson& json, const char* key) {
  static const PlainJson kNull;
  if (!json.is_object()) return kNull;
  const auto found = json.find(key);
  return found == json.end() ? kNull : *found;
}

std::optional<int> whole(const PlainJson& json, int least, int most) {
  if (!json.is_number_integer()) return std::nullopt;
  // Read as a double, which a number of any size fits into.
  const auto value = json.get<double>();
  if (!(value >= least && value <= most)) return std::nullopt;
  return static_cast<int>(value);
}

std::optional<LevelPoint> point_of(const PlainJson& json) {
  if (!json.is_array() || json.size() != 2 || !json[1].is_number()) return std::nullopt;
  const auto velocity = whole(json[0], 1, 127);
  const auto level = json[1].get<double>();
  if (!velocity || !(std::abs(level) <= kMostLevel)) return std::nullopt;
  return LevelPoint{Velocity::clamped(*velocity), {level}};
}

std::optional<KeyLevels> key_of(const PlainJson& json) {
  const auto key = whole(item(json, "key"), 0, 127);
  const PlainJson& points = item(json, "points");
  if (!key || !points.is_array()) return std::nullopt;
  KeyLevels levels{*key, {}};
  for (const PlainJson& entry : points) {
    const auto point = point_of(entry);
    if (!point) return std::nullopt;
    levels.points.push_back(*point);
  }
  return levels;
}

// False where an entry of the list is at fault.
bool read_program(const PlainJson& json, LevelSurvey& survey) {
  const auto program = whole(item(json, "program"), 1, 128);
  const PlainJson& keys = item(json, "keys");
  if (!program || !keys.is_array()) return false;
  std::vector<KeyLevels> all;
  for (const PlainJson& entry : keys) {
    auto key = key_of(entry);
    if (!key) return false;
    all.push_back(*std::move(key));
  }
  survey[*program - 1] = LevelTable::of(std::move(all));
  return true;
}

}  // namespace

fs::path level_store_of(const fs::path& soundfont) {
  const fs::path cache = cache_folder();
  std::error_code failure;
  const std::uintmax_t size = fs::file_size(soundfont, failure);
  if (cache.empty() || failure) return {};
  const auto changed = fs::last_write_time(soundfont, failure);
  if (failure) return {};
  return cache / "levels" /
         fmt::format("{}-{}-{:x}.json", plain(soundfont.stem().string()), size,
                     static_cast<std::uint64_t>(changed.time_since_epoch().count()));
}

std::string levels_text(const LevelSurvey& survey, std::string_view soundfont) {
  OrderedJson programs = OrderedJson::array();
  for (const auto& [program, table] : survey) {
    OrderedJson keys = OrderedJson::array();
    for (const KeyLevels& key : table.keys()) keys.push_back(key_json(key));
    programs.push_back({{"program", program + 1}, {"keys", std::move(keys)}});
  }
  const OrderedJson json = {{"arsis_levels", kStoreVersion},
                            {"soundfont", printable(soundfont, 1000)},
                            {"programs", std::move(programs)}};
  return json.dump() + "\n";
}

Result<LevelSurvey> parse_levels(std::string_view text, const std::string& file) {
  const Where where{.file = file};
  // What is nested too deep is dropped while it is read, and missed afterwards.
  const auto shallow = [](int depth, PlainJson::parse_event_t, const PlainJson&) {
    return depth <= kDeepest;
  };
  const PlainJson json = PlainJson::parse(text, shallow, false);
  if (!json.is_object()) return fail(where, "is no table of measured levels", kRemedy);
  if (!whole(item(json, "arsis_levels"), kStoreVersion, kStoreVersion)) {
    return fail(where, "is a table of measured levels of another version", kRemedy);
  }
  const PlainJson& programs = item(json, "programs");
  LevelSurvey survey;
  std::size_t count = 0;
  if (programs.is_array()) {
    for (const PlainJson& program : programs) {
      ++count;
      if (read_program(program, survey)) continue;
      return fail(where,
                  fmt::format("holds measured levels that make no sense (program {})", count),
                  kRemedy);
    }
  }
  if (count == 0) return fail(where, "holds no measured levels", kRemedy);
  return survey;
}

Result<LevelSurvey> read_levels(const fs::path& store) {
  std::error_code ignored;
  if (store.empty() || !fs::exists(store, ignored)) return LevelSurvey{};
  const Result<Bytes> bytes = read_file(store, kMostBytes);
  if (!bytes) return bytes.diagnostics();
  return parse_levels({reinterpret_cast<const char*>(bytes->data()), bytes->size()},
                      store.string());
}

Result<Done> write_levels(const LevelSurvey& survey, const fs::path& soundfont,
                          const fs::path& store) {
  if (store.empty()) {
    return fail({.file = soundfont.string()}, "there is no folder to keep its levels in",
                "set HOME or XDG_CACHE_HOME");
  }
  std::error_code failure;
  fs::create_directories(store.parent_path(), failure);
  if (failure) {
    return fail({.file = store.parent_path().string()},
                fmt::format("cannot be made ({})", failure.message()),
                "set XDG_CACHE_HOME to a folder that can be written");
  }
  const std::string text = levels_text(survey, soundfont.filename().string());
  return write_file(store, {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

}  // namespace arsis
