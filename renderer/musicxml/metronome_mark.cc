#include "musicxml/metronome_mark.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kSlowestTempo = 4.0;  // quarter notes a minute
constexpr double kFastestTempo = 2'000.0;

// Quarter notes of a printed note value; 0 for an unknown one.
double quarters_of(std::string_view type) {
  struct Value {
    std::string_view type;
    double quarters;
  };
  // MusicXML 4.0, note-type-value, as far as tempo marks use it.
  constexpr Value kValues[] = {{"whole", 4.0}, {"half", 2.0},   {"quarter", 1.0}, {"eighth", 0.5},
                               {"16th", 0.25}, {"32nd", 0.125}, {"breve", 8.0}};
  for (const Value& value : kValues) {
    if (value.type == type) return value.quarters;
  }
  return 0.0;
}

// The one or two note values of a metronome mark, dots included; 0 where there is none.
std::array<double, 2> units_of(pugi::xml_node metronome) {
  std::array<double, 2> units{};
  std::size_t count = 0;
  double dot = 0.0;
  for (const pugi::xml_node child : metronome.children()) {
    const std::string_view name = child.name();
    if (name == "beat-unit") {
      if (count == units.size()) break;
      units[count] = quarters_of(child.text().as_string());
      dot = units[count++] / 2.0;
    } else if (name == "beat-unit-dot" && count > 0) {
      units[count - 1] += dot;
      dot /= 2.0;
    }
  }
  return units;
}

// "72", "ca. 72", "72,5"; of "60-66" the middle. 0 where there is no number.
double per_minute(std::string_view text) {
  double sum = 0.0;
  int count = 0;
  while (!text.empty() && count < 2) {
    const std::size_t begin = text.find_first_of("0123456789");
    if (begin == std::string_view::npos) break;
    const std::size_t end = std::min(text.find_first_not_of("0123456789.", begin), text.size());
    std::string_view digits = text.substr(begin, end - begin);
    while (digits.ends_with('.')) digits.remove_suffix(1);
    if (const auto number = parse_number(digits)) {
      sum += *number;
      ++count;
    }
    text.remove_prefix(end);
    if (!text.starts_with('-') && !text.starts_with("\u2013") && !text.starts_with(' ')) break;
  }
  return count == 0 ? 0.0 : sum / count;
}

}  // namespace

bool is_playable(double quarters_a_minute) {
  return quarters_a_minute >= kSlowestTempo && quarters_a_minute <= kFastestTempo;
}

std::optional<PageTempo> metronome_mark(pugi::xml_node metronome) {
  const std::array<double, 2> units = units_of(metronome);
  PageTempo tempo;
  if (units[0] > 0.0 && units[1] > 0.0) {
    tempo.kind = TempoKind::kEqual;
    tempo.number = units[1] / units[0];
    return tempo;
  }
  tempo.number = units[0] * per_minute(metronome.child("per-minute").text().as_string());
  if (!is_playable(tempo.number)) return std::nullopt;
  return tempo;
}

}  // namespace arsis
