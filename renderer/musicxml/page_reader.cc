#include "musicxml/page_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <map>
#include <numeric>
#include <set>

#include "base/text.h"
#include "musicxml/doubts.h"
#include "musicxml/measure_reader.h"
#include "musicxml/page_layout.h"

namespace arsis {
namespace {

constexpr std::size_t kLongestName = 1'000;  // bytes, as a plan's title
constexpr int kFinestUsual = 480;  // ticks a quarter note, at least, for what is stolen by graces
constexpr int kMostDivision = 16'000;  // what a MIDI file can count leaves room for
// For scores whose divisions have no common multiple in reach: 2^5 3^2 5 7.
constexpr int kRoundedDivision = 10'080;

// The least common multiple of all divisions, made fine enough; none where it is out of reach.
std::optional<int> common_division(const Layout& layout) {
  std::int64_t common = 1;
  for (const auto& measures : layout.measures) {
    for (const pugi::xml_node measure : measures) {
      for (const pugi::xml_node attributes : measure.children("attributes")) {
        const auto division = attributes.child("divisions").text().as_int();
        if (division < 1 || division > kMostDivisions) continue;  // said where it is read
        common = std::lcm(common, std::int64_t{division});
        if (common > kMostDivision) return std::nullopt;
      }
    }
  }
  const auto least = static_cast<int>(common);
  return least * std::max(1, (kFinestUsual + least - 1) / least);
}

// A title or a part's name, cut to kLongestName.
std::string name_of(pugi::xml_node node) {
  std::string_view text = node.text().as_string();
  if (text.size() > kLongestName) text = text.substr(0, utf8_prefix(text.substr(0, kLongestName)));
  return std::string(trimmed(text));
}

class PageReader {
 public:
  explicit PageReader(const XmlDocument& document) : document_(document) {}

  Result<Page> read() {
    const pugi::xml_node root = document_.root();
    const std::string name = root.name();
    if (name != "score-partwise" && name != "score-timewise") {
      return fail(document_.where(root), fmt::format("'{}' is no score", printable(name)),
                  "a MusicXML file begins with score-partwise or score-timewise");
    }
    const Layout layout = layout_of(root);
    std::size_t count = 0;
    for (const auto& measures : layout.measures) count = std::max(count, measures.size());
    if (count == 0) {
      return fail(document_.where(root), "there is no measure in this score",
                  "export the score again");
    }
    if (layout.cut) {
      doubts_.add(document_.where(root), "the score is larger than is read",
                  fmt::format("{} parts of {} measures are", kMostParts, kMostMeasures));
    }
    for (const auto& measures : layout.measures) {
      if (measures.size() == count) continue;
      doubts_.add(document_.where(measures.empty() ? root : measures.back()),
                  "a part has fewer measures than another", "it is silent from there on");
    }
    choose_division(layout, root);
    read_heading(root, layout);
    page_.measures.resize(count);
    for (PageMeasure& measure : page_.measures) measure.parts.resize(layout.ids.size());
    for (std::size_t part = 0; part < layout.ids.size(); ++part) read_part(part, layout);
    set_signatures_and_lengths();
    doubt_bare_tempo_words();
    return {std::move(page_), doubts_.all()};
  }

 private:
  void choose_division(const Layout& layout, pugi::xml_node root) {
    const auto division = common_division(layout);
    page_.division = division.value_or(kRoundedDivision);
    if (!division) {
      doubts_.add(document_.where(root), "its divisions have no common multiple in reach",
                  "onsets are rounded to a thousandth of a second");
    }
  }

  void read_heading(pugi::xml_node root, const Layout& layout) {
    page_.title = name_of(root.child("work").child("work-title"));
    if (page_.title.empty()) page_.title = name_of(root.child("movement-title"));
    for (const std::string& id : layout.ids) {
      PagePart& part = page_.parts.emplace_back();
      part.id = id;
      const pugi::xml_node listed =
          root.child("part-list").find_child_by_attribute("score-part", "id", id.c_str());
      part.name = name_of(listed.child("part-name"));
      const int program = listed.child("midi-instrument").child("midi-program").text().as_int();
      if (program >= 1 && program <= 128) part.program = program - 1;
    }
  }

  void read_part(std::size_t part, const Layout& layout) {
    MeasureReader reader(document_, page_, part, doubts_, signs_);
    for (std::size_t i = 0; i < layout.measures[part].size(); ++i) {
      if (layout.measures[part][i]) reader.read(layout.measures[part][i], i);
    }
  }

  // A signature goes on until another comes. A measure is as long as what stands in it; an empty
  // one, and one whose durations were rounded, as its signature says.
  void set_signatures_and_lengths() {
    TimeSignature signature;
    for (PageMeasure& measure : page_.measures) {
      signature = measure.signature.value_or(signature);
      measure.signature = signature;
      for (const PartMeasure& part : measure.parts) {
        measure.length = std::max(measure.length, part.reached);
      }
      const Ticks whole = std::llround(signature.bar_length().value * page_.division);
      const bool is_whole = std::abs(measure.length - whole) * kSlackParts < page_.division;
      if (measure.length == 0 || is_whole) measure.length = whole;
    }
  }

  // Beside a number, which may stand in another direction or part, the word asks for nothing.
  void doubt_bare_tempo_words() {
    Where where = document_.where(document_.root());
    for (const PageMeasure& measure : page_.measures) {
      std::set<Ticks> given;
      for (const PageTempo& tempo : measure.tempos) {
        if (tempo.kind == TempoKind::kMark) given.insert(tempo.at);
      }
      for (const PageTempo& tempo : measure.tempos) {
        if (tempo.kind != TempoKind::kName || given.contains(tempo.at)) continue;
        where.line = tempo.place.line;
        where.column = tempo.place.column;
        doubts_.add(where, "a tempo is given by its word alone",
                    "a usual speed is taken; write a metronome mark");
      }
    }
  }

  const XmlDocument& document_;
  Page page_;
  Doubts doubts_;
  std::size_t signs_ = 0;  // and tempos, of all that was read
};

}  // namespace

Result<Page> read_page(const XmlDocument& document) { return PageReader(document).read(); }

}  // namespace arsis
