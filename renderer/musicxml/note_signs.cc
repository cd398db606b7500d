#include "musicxml/note_signs.h"

#include <algorithm>
#include <string_view>

namespace arsis {
namespace {

constexpr double kMostLoudness = 1.5;  // ratio to forte; velocity 127 is 1.41

struct Articulation {
  const char* name;
  Mark mark;
};
constexpr Articulation kArticulations[] = {
    {"accent", Mark::kAccent},           {"soft-accent", Mark::kAccent},
    {"stress", Mark::kAccent},           {"strong-accent", Mark::kMarcato},
    {"staccato", Mark::kStaccato},       {"tenuto", Mark::kTenuto},
    {"detached-legato", Mark::kPortato}, {"staccatissimo", Mark::kStaccatissimo},
    {"spiccato", Mark::kStaccatissimo},  {"breath-mark", Mark::kBreath},
};

}  // namespace

MarkSet marks_of(pugi::xml_node note) {
  MarkSet marks;
  for (const pugi::xml_node notations : note.children("notations")) {
    for (const pugi::xml_node group : notations.children("articulations")) {
      for (const Articulation& articulation : kArticulations) {
        if (group.child(articulation.name)) marks.add(articulation.mark);
      }
    }
    if (notations.child("fermata")) marks.add(Mark::kFermata);
    if (notations.child("arpeggiate")) marks.add(Mark::kArpeggio);
  }
  return marks;
}

bool has_caesura(pugi::xml_node note) {
  return std::ranges::any_of(note.children("notations"), [](pugi::xml_node notations) {
    return static_cast<bool>(notations.child("articulations").child("caesura"));
  });
}

int number_of(pugi::xml_node node) {
  constexpr int kMostNumber = 16;
  return std::clamp(node.attribute("number").as_int(1), 1, kMostNumber);
}

std::vector<PageSlur> slurs_of(pugi::xml_node note) {
  std::vector<PageSlur> slurs;
  for (const pugi::xml_node notations : note.children("notations")) {
    for (const pugi::xml_node slur : notations.children("slur")) {
      const std::string_view type = slur.attribute("type").as_string();
      if (type != "start" && type != "stop") continue;
      slurs.push_back({number_of(slur), type == "start"});
    }
  }
  return slurs;
}

void read_ties(pugi::xml_node note, PageNote& made) {
  for (const pugi::xml_node tie : note.children("tie")) {
    const std::string_view type = tie.attribute("type").as_string();
    made.tied_to |= type == "start";
    made.tied_from |= type == "stop";
  }
  for (const pugi::xml_node notations : note.children("notations")) {
    for (const pugi::xml_node tied : notations.children("tied")) {
      const std::string_view type = tied.attribute("type").as_string();
      made.tied_to |= type == "start" || type == "continue";
      made.tied_from |= type == "stop" || type == "continue";
    }
  }
}

GraceTime grace_time_of(pugi::xml_node grace) {
  const auto share = [&](const char* name) -> std::optional<double> {
    const double percent = grace.attribute(name).as_double(-1.0);
    if (!(percent > 0.0 && percent < 100.0)) return std::nullopt;
    return percent / 100.0;
  };
  GraceTime time;
  time.steal_previous = share("steal-time-previous");
  time.steal_following = share("steal-time-following");
  return time;
}

std::optional<double> loudness_of(pugi::xml_attribute percent) {
  const double value = percent.as_double(-1.0);
  if (!(value >= 0.0)) return std::nullopt;
  return std::min(value / 100.0, kMostLoudness);
}

}  // namespace arsis
