// Sheets of questions for a class: those of the students, with boxes to tick, and the teacher's
// key, with the right ones ticked. For print, as pages of paper or as a page of HTML.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "page/sheet.h"
#include "page/system.h"

namespace arsis {

struct SheetQuestion {
  std::string number;                 // "1"; all texts may hold any bytes
  std::string ask;                    // "Which motif leads?"
  std::string place;                  // "Lantern Song, bars 0 to 3"; may be empty
  std::vector<std::string> choices;   // in order of their letters, a to z
  std::optional<std::size_t> answer;  // the choice whose box is ticked; none on a student's sheet
  std::string remark;                 // a line under the choices; may be empty
  std::vector<DrawnSystem> picture;   // as wide as sheet_picture_width() at most
};

struct QuestionSheet {
  std::string title;               // may be empty
  std::string subtitle;            // likewise
  bool has_name_line = false;      // "Name" and "Date", to be written on
  std::vector<std::string> words;  // lines that say what to do
  std::vector<SheetQuestion> questions;
  std::vector<std::string> answers;  // "1b", "2a", ... at the end, for marking; empty: none
};

// What a picture has room for beside the numbers.
Millimetres sheet_picture_width(Paper paper);

// No question is cut by a page's end: pictures that with it are higher than a page are left out.
// With a number on each page.
std::vector<Sheet> draw_question_sheets(const QuestionSheet& sheet, Paper paper);

// The whole file, to be looked at and to be printed: one column, no question cut where it can be
// helped. Everything that is not ours is escaped; a Content-Security-Policy lets nothing load or
// run.
std::string question_sheet_html(const QuestionSheet& sheet, Paper paper);

}  // namespace arsis
