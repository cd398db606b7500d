#include "tool/script_data.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

double rounded(double value, double steps) { return std::round(value * steps) / steps; }

Json system_json(const DrawnSystem& system) {
  Json ways = Json::array();
  for (const Waypoint& waypoint : system.waypoints) {
    ways.push_back(script_number(waypoint.at));
    ways.push_back(rounded(waypoint.x.value, 1e3));
  }
  return {{"begin", script_number(system.span.begin)},
          {"end", script_number(system.span.end)},
          {"width", rounded(system.width.value, 1e3)},
          {"ways", std::move(ways)}};
}

}  // namespace

double script_number(Seconds at) { return rounded(at.value, 1e4); }
double script_number(Beats at) { return rounded(at.value, 1e6); }

Json knots_json(const TimeMap& time, Beats moved) {
  Json knots = Json::array();
  Seconds last{-1.0};
  const auto add = [&](Beats beat, Seconds second) {
    if (second - last < Seconds{2e-4}) return;  // would be the same moment when rounded
    knots.push_back(script_number(second));
    knots.push_back(script_number(beat - moved));
    last = second;
  };
  for (const TimeMap::Knot& knot : time.knots()) add(knot.beat, knot.second);
  if (knots.size() < 4) {
    const Beats later = time.knots().back().beat + Beats{1.0};
    add(later, time.seconds_at(later));
  }
  return knots;
}

Json systems_json(std::span<const DrawnSystem> systems) {
  Json list = Json::array();
  for (const DrawnSystem& system : systems) list.push_back(system_json(system));
  return list;
}

std::string script_text(const Json& json) {
  return json.dump(-1, ' ', true, Json::error_handler_t::replace);
}

}  // namespace arsis
