#include "musicxml/page_layout.h"

#include <fmt/format.h>

#include <cstring>
#include <map>

namespace arsis {
namespace {

constexpr std::size_t kLongestId = 200;  // bytes

}  // namespace

Layout layout_of(pugi::xml_node root) {
  Layout layout;
  if (std::strcmp(root.name(), "score-partwise") == 0) {
    for (const pugi::xml_node part : root.children("part")) {
      layout.cut |= layout.ids.size() == kMostParts;
      if (layout.cut) break;
      layout.ids.emplace_back(part.attribute("id").as_string());
      auto& measures = layout.measures.emplace_back();
      for (const pugi::xml_node measure : part.children("measure")) {
        layout.cut |= measures.size() == kMostMeasures;
        if (!layout.cut) measures.push_back(measure);
      }
    }
    return layout;
  }
  std::map<std::string, std::size_t> places;
  std::size_t count = 0;
  for (const pugi::xml_node measure : root.children("measure")) {
    layout.cut |= ++count > kMostMeasures;
    if (layout.cut) break;
    for (const pugi::xml_node part : measure.children("part")) {
      const std::string id = part.attribute("id").as_string();
      const auto [found, is_new] = places.try_emplace(id, layout.ids.size());
      if (is_new) {
        layout.cut |= layout.ids.size() == kMostParts;
        if (layout.cut) break;
        layout.ids.push_back(id);
        layout.measures.emplace_back();
      }
      layout.measures[found->second].resize(count);
      layout.measures[found->second][count - 1] = part;
    }
  }
  return layout;
}

std::string note_id_of(pugi::xml_node note, std::size_t part, std::size_t count) {
  std::string id = note.attribute("id").as_string();
  if (id.empty() || id.size() > kLongestId) id = fmt::format("arsis-{}-{}", part + 1, count);
  return id;
}

}  // namespace arsis
