#include "page/staff.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

#include "musicxml/excerpt_writer.h"

namespace arsis {
namespace {

constexpr double kSpacesOfStaff = 4.0;
constexpr Millimetres kPianoStaff{5.2};
constexpr Millimetres kSmallStaff{4.2};
constexpr Millimetres kSmallestStaff{3.4};
// Around a note: its accidental to the left, its head.
constexpr EngravedUnits kBefore = kStaffSpace * 1.7;
constexpr EngravedUnits kAfter = kStaffSpace * 0.8;

Millimetres unit_for(const Score& score) {
  return staff_height(score) / kSpacesOfStaff / kStaffSpace.value;
}

// A moment and where it stands in the engraving.
struct NoteLanding {
  Beats at;
  EngravedUnits x;
};

class Landings {
 public:
  Landings(const Engraving& engraving, const Score& score, const Printed& printed,
           const StaffPlace& place)
      : engraving_(engraving), score_(score), printed_(printed), place_(place) {}

  // By time; x does not fall. Of all that is engraved, what lies beyond the span included.
  std::vector<NoteLanding> all() {
    add_notes();
    add_measures();
    std::ranges::sort(found_, {}, &NoteLanding::at);
    std::vector<NoteLanding> rising;
    for (const NoteLanding& landing : found_) {
      if (rising.empty() ||
          (landing.at - rising.back().at > kSameMoment && landing.x > rising.back().x)) {
        rising.push_back(landing);
      }
    }
    return rising;
  }

  // By note, once all() has been asked.
  std::span<const std::pair<std::uint32_t, EngravedUnits>> heads() const { return heads_; }

 private:
  Span span_of(std::size_t measure) const {
    const std::size_t next = place_.shown.first + measure + 1;
    const Beats end = next < printed_.measures.size() ? printed_.measures[next].begin
                                                      : score_.bars.all().back().span.end;
    return {printed_.measures[next - 1].begin, end};
  }

  void add_notes() {
    std::map<std::pair<std::size_t, std::string_view>, const EngravedNote*> places;
    for (const EngravedNote& note : engraving_.notes) {
      places.emplace(std::pair(note.measure, std::string_view(note.id)), &note);
    }
    std::map<double, std::vector<EngravedUnits>> by_moment;
    for (std::size_t k = 0; k < place_.shown.count; ++k) {
      const Span span = span_of(k);
      const auto first =
          std::ranges::lower_bound(score_.notes, span.begin - kSameMoment, {}, &Note::onset);
      for (auto note = first; note != score_.notes.end(); ++note) {
        if (note->onset > span.end - kSameMoment) break;
        const auto index = static_cast<std::size_t>(note - score_.notes.begin());
        const auto place = places.find({k, printed_.note_ids[index]});
        if (place == places.end()) continue;
        heads_.emplace_back(static_cast<std::uint32_t>(index), place->second->y);
        if (note->grace || place->second->small) continue;
        by_moment[note->onset.value].push_back(place->second->x);
      }
    }
    for (auto& [at, xs] : by_moment) found_.push_back({{at}, most_common(xs)});
  }

  // The leftmost of those.
  static EngravedUnits most_common(std::vector<EngravedUnits>& xs) {
    std::ranges::sort(xs);
    EngravedUnits best = xs.front();
    std::ptrdiff_t most = 0;
    for (const EngravedUnits x : xs) {
      const std::ptrdiff_t count = std::ranges::count(xs, x);
      if (count > most) best = x;
      most = std::max(most, count);
    }
    return best;
  }

  // Beginnings of measures on which no note falls, and the end.
  void add_measures() {
    const std::size_t count = std::min(engraving_.measures.size(), place_.shown.count);
    for (std::size_t k = 0; k < count; ++k) {
      const Beats begin = span_of(k).begin;
      const bool is_there = std::ranges::any_of(
          found_, [&](const NoteLanding& landing) { return same_moment(landing.at, begin); });
      if (!is_there) found_.push_back({begin, engraving_.measures[k].content});
    }
    if (count > 0) {
      found_.push_back({span_of(count - 1).end, engraving_.measures[count - 1].end});
    }
  }

  const Engraving& engraving_;
  const Score& score_;
  const Printed& printed_;
  const StaffPlace& place_;
  std::vector<NoteLanding> found_;
  std::vector<std::pair<std::uint32_t, EngravedUnits>> heads_;
};

EngravedUnits x_at(const std::vector<NoteLanding>& landings, Beats at) {
  const auto after = std::ranges::upper_bound(landings, at, {}, &NoteLanding::at);
  if (after == landings.begin()) return after->x;
  if (after == landings.end()) return landings.back().x;
  const NoteLanding& before = *std::prev(after);
  return before.x + (after->x - before.x) * ((at - before.at) / (after->at - before.at));
}

// The stretch of the staff that the span has for itself: from before its first note to before the
// first note after it. Edges of the engraving where nothing else is there.
struct Own {
  EngravedUnits from;
  EngravedUnits to;
};

Own own_stretch(const std::vector<NoteLanding>& landings, Span span, Own all) {
  Own own = all;
  for (std::size_t i = 0; i + 1 < landings.size(); ++i) {
    const auto edge = [&] { return std::max(landings[i].x + kAfter, landings[i + 1].x - kBefore); };
    if (landings[i].at < span.begin - kSameMoment) own.from = edge();
    const bool is_inside = landings[i].at < span.end - kSameMoment;
    if (is_inside && landings[i + 1].at > span.end - kSameMoment) {
      own.to = i + 2 == landings.size() ? all.to : edge();
    }
  }
  return own;
}

std::string veil(EngravedUnits from, EngravedUnits to, EngravedUnits height) {
  if (to <= from) return {};
  return fmt::format(R"(<rect class="beyond" x="{:.0f}" y="0" width="{:.0f}" height="{:.0f}"/>)",
                     from.value, (to - from).value, height.value);
}

PageExcerptRequest request_for(const Printed& printed, PlayedRange shown, bool is_first) {
  PageExcerptRequest request{{}, is_first};
  for (std::size_t k = shown.first; k < shown.first + shown.count; ++k) {
    request.measures.push_back(printed.measures[k].index);
  }
  return request;
}

// As wide for what it shows as the system is for its span.
EngravedUnits width_for(const StaffSource& source, const System& system, const StaffPlace& place) {
  const std::size_t next = place.shown.first + place.shown.count;
  const auto& measures = source.printed.measures;
  if (place.shown.count == 0) return kStaffSpace;
  const Beats end =
      next < measures.size() ? measures[next].begin : source.score.bars.all().back().span.end;
  const double more = (end - measures[place.shown.first].begin) / system.span.length();
  return {std::min(system.width * more + kMostHang, place.width) / unit_for(source.score)};
}

// `number` is the system's: with the width it keeps the ids of its glyphs apart from those of
// others, also where a page has the same system in two widths.
std::optional<NoteField> field_of(std::string_view svg, const StaffSource& source,
                                  const ExcerptWriter& writer, const StaffPlace& place,
                                  std::size_t number) {
  if (svg.empty() || place.shown.count == 0) return std::nullopt;
  const EngravedIds ids = [&writer](std::string_view id) -> std::optional<EngravedId> {
    auto note = writer.note(id);
    if (!note) return std::nullopt;
    return EngravedId{note->measure, std::move(note->id)};
  };
  const std::string prefix = fmt::format("s{}w{:.0f}g", number + 1, place.width.value * 10.0);
  const Result<Engraving> engraving = read_engraving(svg, prefix, ids);
  if (!engraving || engraving->measures.size() != place.shown.count) return std::nullopt;
  return staff_field(*engraving, source.score, source.printed, place);
}

}  // namespace

Millimetres staff_height(const Score& score) {
  if (score.parts.size() <= 2) return kPianoStaff;
  return score.parts.size() <= 4 ? kSmallStaff : kSmallestStaff;
}

PlayedRange measures_in(const Printed& printed, Span span) {
  const auto& measures = printed.measures;
  const auto after =
      std::ranges::upper_bound(measures, span.begin + kSameMoment, {}, &PrintedMeasure::begin);
  if (after == measures.begin()) return {};
  const auto last =
      std::ranges::lower_bound(measures, span.end - kSameMoment, {}, &PrintedMeasure::begin);
  const auto first = std::prev(after);
  if (last <= first) return {};
  return {static_cast<std::size_t>(first - measures.begin()),
          static_cast<std::size_t>(last - first)};
}

NoteField staff_field(const Engraving& engraving, const Score& score, const Printed& printed,
                      const StaffPlace& place) {
  Landings finder(engraving, score, printed, place);
  const std::vector<NoteLanding> landings = finder.all();
  const Millimetres unit = std::min(unit_for(score), place.width / engraving.width.value);
  const auto on_paper = [&](EngravedUnits x) { return unit * x.value; };
  NoteField field;
  field.width = on_paper(engraving.width);
  field.height = on_paper(engraving.height);
  field.hang = kMostHang;
  field.waypoints.push_back({place.span.begin, on_paper(x_at(landings, place.span.begin))});
  for (const NoteLanding& landing : landings) {
    const bool is_inside =
        landing.at > place.span.begin + kSameMoment && landing.at < place.span.end - kSameMoment;
    if (is_inside) field.waypoints.push_back({landing.at, on_paper(landing.x)});
  }
  field.waypoints.push_back({place.span.end, on_paper(x_at(landings, place.span.end))});
  for (const auto& [note, y] : finder.heads()) field.heads.push_back({note, on_paper(y)});
  // Clef and signatures are not dimmed.
  const Own all{engraving.measures.front().music, engraving.width};
  const Own own = own_stretch(landings, place.span, all);
  field.svg = fmt::format(
      R"svg(<g class="staff" transform="scale({:.5f})" fill="currentColor" stroke="currentColor">)svg"
      R"svg(<defs>{}</defs>{}{}{}</g>)svg",
      unit.value * 10.0, engraving.glyphs, engraving.drawing,
      veil(all.from, own.from, engraving.height), veil(own.to, all.to, engraving.height));
  return field;
}

Result<std::vector<std::optional<NoteField>>> staff_fields(const StaffSource& source,
                                                           std::span<const System> systems,
                                                           Millimetres room) {
  const Result<ExcerptWriter> writer = ExcerptWriter::read(source.file);
  if (!writer) return writer.diagnostics();
  std::vector<StaffPlace> places;
  std::vector<PageExcerptRequest> requests;
  for (const System& system : systems) {
    places.push_back({system.span, measures_in(source.printed, system.span), room + kMostHang});
    requests.push_back(request_for(source.printed, places.back().shown, requests.empty()));
  }
  const auto texts = writer->excerpts(requests);
  if (!texts) return texts.diagnostics();
  std::vector<EngravingTask> excerpts;
  for (std::size_t i = 0; i < systems.size(); ++i) {
    excerpts.push_back({(*texts)[i], width_for(source, systems[i], places[i])});
  }
  const auto pictures = engrave(source.engraver, excerpts);
  if (!pictures) return pictures.diagnostics();
  std::vector<std::optional<NoteField>> fields;
  std::size_t missing = 0;
  for (std::size_t i = 0; i < systems.size(); ++i) {
    fields.push_back(field_of((*pictures)[i], source, *writer, places[i], i));
    if (!fields.back()) ++missing;
  }
  if (missing == 0) return fields;
  return {std::move(fields),
          {warning({.file = source.file.string()},
                   fmt::format("{} of {} systems cannot be engraved", missing, systems.size()),
                   "their notes are drawn plainly")}};
}

}  // namespace arsis
