#include "musicxml/open_lines.h"

#include <cstring>
#include <string_view>
#include <vector>

#include "musicxml/xml_document.h"

namespace arsis {
namespace {

// Source: MusicXML 4.0, type `number-level`: 1 to 16 of a kind at once. What no page has is not
// followed.
constexpr std::size_t kMostOpen = 32;

bool has_type(pugi::xml_node node, const char* type) {
  return std::strcmp(node.attribute("type").as_string(), type) == 0;
}

std::string line_number(pugi::xml_node node) { return node.attribute("number").as_string("1"); }

bool is_pitched(pugi::xml_node note) { return note.child("pitch") || note.child("unpitched"); }

std::string voice_of(pugi::xml_node note) { return note.child("voice").text().as_string("1"); }

// The line that a direction begins, goes on with or ends; null where it has none.
pugi::xml_node line_of(pugi::xml_node direction) {
  for (const pugi::xml_node type : direction.children("direction-type")) {
    for (const char* name : {"wedge", "octave-shift"}) {
      if (const pugi::xml_node line = type.child(name)) return line;
    }
  }
  return {};
}

std::vector<pugi::xml_node> slurs_of_note(pugi::xml_node note) {
  std::vector<pugi::xml_node> slurs;
  for (const pugi::xml_node notations : note.children("notations")) {
    for (const pugi::xml_node slur : notations.children("slur")) slurs.push_back(slur);
  }
  return slurs;
}

void add_slur(pugi::xml_node note, const std::string& number, const char* type) {
  pugi::xml_node notations = note.child("notations");
  if (!notations) {
    // Source: MusicXML 4.0, element `note`: notations stand before lyrics.
    const pugi::xml_node lyric = note.child("lyric");
    notations =
        lyric ? note.insert_child_before("notations", lyric) : note.append_child("notations");
  }
  pugi::xml_node slur = notations.append_child("slur");
  slur.append_attribute("number") = number.c_str();
  slur.append_attribute("type") = type;
}

// The slurs of a part of an excerpt, followed from note to note.
class Slurs {
 public:
  explicit Slurs(const OpenLines& open) {
    for (const auto& [number, slur] : open.slurs) {
      waiting_[number] = voice_of(slur.parent().parent());
    }
  }

  void pass(pugi::xml_node note) {
    for (pugi::xml_node slur : slurs_of_note(note)) pass_slur(note, slur);
    if (!is_pitched(note) || note.child("chord")) return;
    const std::string voice = voice_of(note);
    for (auto each = waiting_.begin(); each != waiting_.end();) {
      if (each->second != voice) {
        ++each;
        continue;
      }
      add_slur(note, each->first, "start");
      open_[each->first] = {voice, note, note};
      each = waiting_.erase(each);
    }
    for (auto& [number, open] : open_) {
      if (open.voice == voice) open.last = note;
    }
  }

  void end() {
    for (auto& [number, open] : open_) {
      if (open.last == open.first) {
        drop(open.first, number);
      } else {
        add_slur(open.last, number, "stop");
      }
    }
  }

 private:
  struct Open {
    std::string voice;
    pugi::xml_node first;
    pugi::xml_node last;
  };

  void pass_slur(pugi::xml_node note, pugi::xml_node slur) {
    const std::string number = line_number(slur);
    if (has_type(slur, "start")) {
      // A second one of its number: the first has lost its end.
      if (const auto lost = open_.find(number); lost != open_.end()) {
        drop(lost->second.first, number);
      }
      if (open_.size() < kMostOpen) open_[number] = {voice_of(note), note, note};
      waiting_.erase(number);
    } else if (has_type(slur, "stop")) {
      waiting_.erase(number);
      if (open_.erase(number) == 0) slur.parent().remove_child(slur);
    }
  }

  static void drop(pugi::xml_node note, const std::string& number) {
    for (pugi::xml_node slur : slurs_of_note(note)) {
      if (has_type(slur, "start") && line_number(slur) == number) {
        slur.parent().remove_child(slur);
        return;
      }
    }
  }

  std::map<std::string, std::string> waiting_;  // voices, by number
  std::map<std::string, Open> open_;
};

// A direction with nothing but the line.
pugi::xml_node direction_with(pugi::xml_node direction, pugi::xml_node line) {
  for (pugi::xml_node child = direction.first_child(); child;) {
    const pugi::xml_node next = child.next_sibling();
    if (!is_named(child, "staff") && !is_named(child, "voice")) direction.remove_child(child);
    child = next;
  }
  pugi::xml_node type = direction.prepend_child("direction-type");
  return type.append_copy(line);
}

void close_directions(pugi::xml_node part, const OpenLines& open) {
  pugi::xml_node first = part.child("measure");
  for (const auto& [key, direction] : open.directions) {
    const pugi::xml_node attributes = first.child("attributes");
    pugi::xml_node copy =
        attributes ? first.insert_copy_after(direction, attributes) : first.prepend_copy(direction);
    direction_with(copy, line_of(direction));
  }
  OpenLines now;
  for (const pugi::xml_node measure : part.children("measure")) now.pass(measure);
  for (const auto& [key, direction] : now.directions) {
    pugi::xml_node copy = part.last_child().append_copy(direction);
    pugi::xml_node line = direction_with(copy, line_of(direction));
    line.remove_attribute("type");
    line.append_attribute("type") = "stop";
  }
}

void close_ending(pugi::xml_node part, const OpenLines& open) {
  pugi::xml_node last = open.ending;
  if (last) {
    pugi::xml_node line = part.child("measure").prepend_child("barline");
    line.append_attribute("location") = "left";
    line.append_copy(last);
  }
  for (const pugi::xml_node measure : part.children("measure")) {
    for (pugi::xml_node barline : measure.children("barline")) {
      pugi::xml_node ending = barline.child("ending");
      if (!ending) continue;
      const bool begins = has_type(ending, "start");
      if (!begins && !last) barline.remove_child(ending);
      last = begins ? ending : pugi::xml_node();
    }
  }
  if (!last) return;
  pugi::xml_node line = part.last_child().append_child("barline");
  line.append_attribute("location") = "right";
  pugi::xml_node end = line.append_copy(last);
  end.remove_attribute("type");
  end.append_attribute("type") = "discontinue";
}

std::string pitch_of(pugi::xml_node note) {
  const pugi::xml_node pitch = note.child("pitch");
  return std::string(pitch.child_value("step")) + pitch.child_value("alter") + "/" +
         pitch.child_value("octave");
}

// Ties that nothing in the part ends.
void close_ties(pugi::xml_node part) {
  std::map<std::string, pugi::xml_node> open;  // `tied`, by pitch and voice
  for (const pugi::xml_node measure : part.children("measure")) {
    for (const pugi::xml_node note : measure.children("note")) {
      const std::string key = pitch_of(note) + "/" + voice_of(note);
      std::vector<pugi::xml_node> begun;
      for (const pugi::xml_node notations : note.children("notations")) {
        for (const pugi::xml_node tied : notations.children("tied")) {
          if (has_type(tied, "stop")) open.erase(key);
          if (has_type(tied, "start")) begun.push_back(tied);
        }
      }
      for (const pugi::xml_node tied : begun) open[key] = tied;
    }
  }
  for (auto& [key, tied] : open) tied.attribute("type") = "let-ring";
}

}  // namespace

void OpenLines::pass(pugi::xml_node measure) {
  for (const pugi::xml_node node : measure.children()) {
    if (is_named(node, "note")) {
      for (const pugi::xml_node slur : slurs_of_note(node)) {
        if (has_type(slur, "start") && slurs.size() < kMostOpen) slurs[line_number(slur)] = slur;
        if (has_type(slur, "stop")) slurs.erase(line_number(slur));
      }
    } else if (is_named(node, "direction")) {
      const pugi::xml_node line = line_of(node);
      if (!line || has_type(line, "continue")) continue;
      const std::string key = std::string(line.name()) + "/" + line_number(line);
      if (has_type(line, "stop")) {
        directions.erase(key);
      } else if (directions.size() < kMostOpen) {
        directions[key] = node;
      }
    } else if (is_named(node, "barline")) {
      const pugi::xml_node found = node.child("ending");
      if (found) ending = has_type(found, "start") ? found : pugi::xml_node();
    }
  }
}

void close_lines(pugi::xml_node part, const OpenLines& open) {
  Slurs slurs(open);
  for (const pugi::xml_node measure : part.children("measure")) {
    for (const pugi::xml_node note : measure.children("note")) slurs.pass(note);
  }
  slurs.end();
  close_directions(part, open);
  close_ending(part, open);
  close_ties(part);
}

}  // namespace arsis
