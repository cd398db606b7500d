#include "page/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "page/ink.h"

namespace arsis {
namespace {

constexpr Millimetres kSide{15.0};
constexpr Millimetres kTop{14.0};
constexpr Millimetres kBottom{14.0};  // the page's number stands in it
constexpr Millimetres kFolio{8.0};    // from the lower edge
constexpr Millimetres kUnderTitle{3.0};
constexpr Millimetres kUnderRunning{2.5};
constexpr Millimetres kLeastGap{5.0};  // between systems
constexpr Millimetres kMostGap{12.0};
constexpr double kLeastStretch = 0.5;
constexpr double kStretchForFour = 0.6;
constexpr double kMostStretch = 1.25;
constexpr double kSheetStretch = 1.1;
constexpr Millimetres kSample{9.0};  // of a line in the legend

constexpr std::array<std::string_view, 2> kLegend = {
    "Curves, from above: sentences, phrases, motifs (u, and / the leading one), each as it grows "
    "to "
    "its goal and releases; a heavy curve leads.",
    "Band: what the written dynamics allow. In it: the melody's notes, joined; dashes for all "
    "others. Below: the tempo beside the written one (dotted)."};

// The systems of a passage with what it takes to draw them.
struct Setting {
  const Picture& picture;
  Paper paper;
  Frame frame;
  std::vector<System> systems;
  std::vector<std::optional<NoteField>> fields;  // one for each system

  const NoteField* field(std::size_t i) const { return fields[i] ? &*fields[i] : nullptr; }
  Millimetres height(std::size_t i) const {
    return height_of(picture, systems[i], frame, field(i));
  }
  Millimetres width() const { return frame.width; }
};

std::size_t notes_in(const Score& score, Span span) {
  return static_cast<std::size_t>(std::ranges::count_if(score.notes, [&](const Note& note) {
    return note.onset < span.end && note.end > span.begin;
  }));
}

Result<Setting> setting_of(const Picture& picture, Span passage, Paper paper,
                           const FieldSource& fields) {
  const Span span = drawn_span(picture, passage);
  const std::size_t notes = notes_in(picture.score, span);
  if (notes == 0) return fail({}, "there are no notes to draw", "choose a passage with notes");
  if (notes > kMostDrawnNotes) {
    return fail({}, fmt::format("{} notes are too many for pages", notes),
                fmt::format("draw a passage of at most {}, with --from and --to", kMostDrawnNotes));
  }
  Setting setting{picture, paper, {}, {}, {}};
  setting.frame.width = paper.width - kSide * 2.0;
  setting.frame.scales = scales_of(picture, passage);
  setting.systems = systems_of(picture, passage, room_in(setting.frame));
  if (setting.systems.size() > kMostSystems) {
    return fail({},
                fmt::format("the music takes {} lines, too many for pages", setting.systems.size()),
                fmt::format("draw a passage of at most {}, with --from and --to", kMostSystems));
  }
  if (fields) setting.fields = fields(setting.systems, room_in(setting.frame));
  setting.fields.resize(setting.systems.size());
  return setting;
}

// Draws the words of a sheet; each goes below what is there.
class Sheets {
 public:
  explicit Sheets(const Setting& setting) : setting_(setting) {}

  // The title's block; how far down it comes.
  Millimetres head(Ink& ink) const {
    const Picture& picture = setting_.picture;
    const Millimetres width = setting_.width();
    Millimetres y = kTop;
    if (!picture.title.empty()) {
      y += cap_height(TextKind::kTitle);
      ink.words(TextKind::kTitle, {kSide, y}, fitted(picture.title, TextKind::kTitle, width));
      y += leading(TextKind::kTitle) - cap_height(TextKind::kTitle) - Millimetres{1.0};
    }
    if (!picture.subtitle.empty()) {
      y += cap_height(TextKind::kSubtitle);
      ink.words(TextKind::kSubtitle, {kSide, y},
                fitted(picture.subtitle, TextKind::kSubtitle, width));
    }
    if (picture.courses.size() > 1) y = courses(ink, y + leading(TextKind::kLegend));
    return y + kUnderTitle;
  }

  Millimetres running_head(Ink& ink) const {
    const Millimetres y = kTop + cap_height(TextKind::kRunning);
    ink.words(TextKind::kRunning, {kSide, y},
              fitted(setting_.picture.title, TextKind::kRunning, setting_.width()));
    return y + kUnderRunning;
  }

  static Millimetres legend_height() {
    return leading(TextKind::kLegend) * static_cast<double>(kLegend.size());
  }

  // With its last line on `bottom`.
  void legend(Ink& ink, Millimetres bottom) const {
    Millimetres y = bottom - leading(TextKind::kLegend) * static_cast<double>(kLegend.size() - 1);
    for (const std::string_view line : kLegend) {
      ink.words(TextKind::kLegend, {kSide, y},
                fitted(line, TextKind::kLegend, setting_.width() + Millimetres{4.0}));
      y += leading(TextKind::kLegend);
    }
  }

  void folio(Ink& ink, std::size_t number) const {
    ink.words(TextKind::kFolio, {setting_.paper.width / 2.0, setting_.paper.height - kFolio},
              std::to_string(number), Anchor::kMiddle);
  }

 private:
  // A sample of each course's line with its name.
  Millimetres courses(Ink& ink, Millimetres y) const {
    const std::vector<Course>& courses = setting_.picture.courses;
    const Millimetres share = setting_.width() / static_cast<double>(courses.size());
    for (std::size_t i = 0; i < courses.size(); ++i) {
      const Millimetres x = kSide + share * static_cast<double>(i);
      const Millimetres middle = y - cap_height(TextKind::kLegend) / 2.0;
      ink.line(i == 0 ? "tempo" : "tempo second", {x, middle}, {x + kSample, middle});
      ink.words(TextKind::kLegend, {x + kSample + Millimetres{1.5}, y},
                fitted(courses[i].name, TextKind::kLegend, share - kSample - Millimetres{3.0}));
    }
    return y;
  }

  const Setting& setting_;
};

// The stretch at which `count` systems, the highest ones, stand on the first page, whose head and
// legend take most room; at most kMostStretch.
double stretch_for(const Setting& setting, Millimetres content, double count) {
  const Millimetres target = (content - kLeastGap * count) / count;
  double stretch = kMostStretch;
  Setting one = setting;
  one.frame.stretch = 1.0;
  Setting two = setting;
  two.frame.stretch = 2.0;
  for (std::size_t i = 0; i < setting.systems.size(); ++i) {
    const Millimetres usual = one.height(i);
    const Millimetres grows = two.height(i) - usual;
    if (grows.value > 0.0) stretch = std::min(stretch, 1.0 + (target - usual) / grows);
  }
  return stretch;
}

// Three systems a page; four where one would be left alone on the last page; fewer where words or
// engraved staves would make them too flat.
double stretch_for(const Setting& setting, Millimetres content) {
  if (setting.systems.size() % 3 == 1) {
    const double stretch = stretch_for(setting, content, 4.0);
    if (stretch >= kStretchForFour) return stretch;
  }
  for (const double count : {3.0, 2.0}) {
    const double stretch = stretch_for(setting, content, count);
    if (stretch >= kLeastStretch) return stretch;
  }
  return std::max(stretch_for(setting, content, 1.0), kLeastStretch);
}

// Which systems stand on a page.
struct Page {
  std::size_t first = 0;
  std::size_t count = 0;
  Millimetres height;  // of its systems, without the gaps
};

std::vector<Page> pages_of(const Setting& setting, Millimetres first, Millimetres other) {
  std::vector<Page> pages;
  for (std::size_t i = 0; i < setting.systems.size(); ++i) {
    const Millimetres height = setting.height(i);
    const Millimetres content = pages.size() <= 1 ? first : other;
    const bool fits =
        !pages.empty() &&
        pages.back().height + kLeastGap * static_cast<double>(pages.back().count) + height <=
            content;
    if (!fits) pages.push_back({i, 0, {}});
    ++pages.back().count;
    pages.back().height += height;
  }
  return pages;
}

Millimetres gap_of(const Page& page, Millimetres content) {
  if (page.count < 2) return kLeastGap;
  const Millimetres gap = (content - page.height) / static_cast<double>(page.count - 1);
  return std::clamp(gap, kLeastGap, kMostGap);
}

void draw_systems(const Setting& setting, const Page& page, Millimetres gap, Millimetres top,
                  Ink& ink) {
  for (std::size_t i = page.first; i < page.first + page.count; ++i) {
    const DrawnSystem drawn =
        draw_system(setting.picture, setting.systems[i], setting.frame, setting.field(i));
    ink.place({kSide, top}, drawn.svg);
    top += drawn.height + gap;
  }
}

Sheet sheet_of(Ink ink, Millimetres width, Millimetres height) {
  return {svg_of(ink.take(), width, height, true), width, height};
}

}  // namespace

std::optional<Paper> paper_named(std::string_view name) {
  for (const Paper& paper : {kA4, kLetter}) {
    if (paper.name == name) return paper;
  }
  return std::nullopt;
}

Paper landscape(Paper paper) { return {paper.name, paper.height, paper.width}; }

Result<std::vector<Sheet>> draw_pages(const Picture& picture, Span passage, Paper paper,
                                      const FieldSource& fields) {
  Result<Setting> setting = setting_of(picture, passage, paper, fields);
  if (!setting) return setting.diagnostics();
  const Sheets words(*setting);
  Ink trial;
  const Millimetres bottom = paper.height - kBottom;
  const Millimetres first = bottom - Sheets::legend_height() - words.head(trial) - kLeastGap * 0.5;
  const Millimetres other = bottom - words.running_head(trial);
  setting->frame.stretch = stretch_for(*setting, first);
  const std::vector<Page> pages = pages_of(*setting, first, other);
  std::vector<Sheet> sheets;
  Millimetres gap = kMostGap;
  for (std::size_t i = 0; i < pages.size(); ++i) {
    Ink ink;
    const Millimetres top = i == 0 ? words.head(ink) : words.running_head(ink);
    const Millimetres own = gap_of(pages[i], i == 0 ? first : other);
    gap = i + 1 == pages.size() ? std::min(own, gap) : own;
    draw_systems(*setting, pages[i], gap, top, ink);
    if (i == 0) words.legend(ink, bottom);
    if (pages.size() > 1) words.folio(ink, i + 1);
    sheets.push_back(sheet_of(std::move(ink), paper.width, paper.height));
  }
  return sheets;
}

Result<Sheet> draw_sheet(const Picture& picture, Span passage, Paper paper,
                         const FieldSource& fields) {
  Result<Setting> setting = setting_of(picture, passage, paper, fields);
  if (!setting) return setting.diagnostics();
  setting->frame.stretch = kSheetStretch;
  const Sheets words(*setting);
  Ink ink;
  const Millimetres top = words.head(ink);
  Page all{0, setting->systems.size(), {}};
  for (std::size_t i = 0; i < all.count; ++i) all.height += setting->height(i);
  const Millimetres gap = (kLeastGap + kMostGap) / 2.0;
  draw_systems(*setting, all, gap, top, ink);
  const Millimetres bottom =
      top + all.height + gap * static_cast<double>(all.count) + Sheets::legend_height();
  words.legend(ink, bottom);
  return sheet_of(std::move(ink), paper.width, bottom + kBottom);
}

Result<std::vector<DrawnSystem>> draw_lines(const Picture& picture, Span passage, Millimetres width,
                                            const FieldSource& fields, double stretch) {
  const Paper strip{"strip", width + kSide * 2.0, {}};
  Result<Setting> setting = setting_of(picture, passage, strip, fields);
  if (!setting) return setting.diagnostics();
  setting->frame.stretch = stretch;
  std::vector<DrawnSystem> lines;
  for (std::size_t i = 0; i < setting->systems.size(); ++i) {
    lines.push_back(draw_system(picture, setting->systems[i], setting->frame, setting->field(i)));
  }
  return lines;
}

}  // namespace arsis
