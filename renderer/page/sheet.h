// Sheets of paper: a title, systems one under another, page numbers.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "page/system.h"

namespace arsis {

struct Paper {
  std::string_view name;
  Millimetres width;
  Millimetres height;
};
// A4: ISO 216. Letter: ANSI/ASME Y14.1, size A.
inline constexpr Paper kA4{"a4", {210.0}, {297.0}};
inline constexpr Paper kLetter{"letter", {215.9}, {279.4}};

// "a4", "letter"; none for others.
std::optional<Paper> paper_named(std::string_view name);

// The same on its side.
Paper landscape(Paper paper);

struct Sheet {
  std::string svg;  // a complete document of that size, with its style
  Millimetres width;
  Millimetres height;
};

// The lines of a page of HTML, for a screen and for a phone. Our choice, by looking.
inline constexpr Millimetres kScreenLine{190.0};
inline constexpr Millimetres kPhoneLine{84.0};

// More than this would not be looked at, and takes memory: some 200 pages.
inline constexpr std::size_t kMostSystems = 600;
inline constexpr std::size_t kMostDrawnNotes = 200'000;

// How the notes of systems come, where they are not drawn by us; see NoteField. One for each
// system; none: as usual. `room` is how wide a field may be, without what hangs in the margin.
using FieldSource =
    std::function<std::vector<std::optional<NoteField>>(std::span<const System>, Millimetres room)>;

// The passage on pages of that paper, three systems a page or more. Errors: more than
// kMostSystems or kMostDrawnNotes, no notes in the passage.
Result<std::vector<Sheet>> draw_pages(const Picture& picture, Span passage, Paper paper,
                                      const FieldSource& fields = {});

// The same on one sheet, as wide as the paper and as tall as it takes.
Result<Sheet> draw_sheet(const Picture& picture, Span passage, Paper paper,
                         const FieldSource& fields = {});

// The same without a sheet: its systems one by one, each at most that wide. At least one. The same
// errors.
//   stretch  as of Frame
Result<std::vector<DrawnSystem>> draw_lines(const Picture& picture, Span passage, Millimetres width,
                                            const FieldSource& fields = {}, double stretch = 1.0);

}  // namespace arsis
