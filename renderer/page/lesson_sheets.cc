#include "page/lesson_sheets.h"

#include <fmt/format.h>

#include <algorithm>
#include <span>
#include <utility>

#include "base/text.h"
#include "page/ink.h"

namespace arsis {
namespace {

// Our choice, by looking.
constexpr Millimetres kSheetSide{15.0};
constexpr Millimetres kSheetTop{14.0};
constexpr Millimetres kSheetBottom{15.0};  // the page's number stands in it
constexpr Millimetres kSheetFolio{8.0};
constexpr Millimetres kNumberColumn{8.0};  // the column of the questions' numbers
constexpr Millimetres kBox{3.0};
constexpr Millimetres kAfterBox{1.6};
constexpr Millimetres kBeforeWords{8.4};  // the box and the letter
constexpr Millimetres kBetweenChoices{7.0};
constexpr Millimetres kBetweenQuestions{6.0};
constexpr Millimetres kBetweenPictures{2.0};
constexpr Millimetres kUnderAsk{1.6};
constexpr Millimetres kUnderSheetHead{5.0};
constexpr Millimetres kNameLine{9.0};

// Where the choices stand under one another and beside one another.
struct TickPlace {
  std::size_t row = 0;
  Millimetres x;
  std::string text;
};

std::vector<TickPlace> tick_places(const SheetQuestion& question, Millimetres width) {
  std::vector<TickPlace> places;
  std::size_t row = 0;
  Millimetres x;
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    const std::string text = fitted(question.choices[i], TextKind::kAnswer, width - kBeforeWords);
    const Millimetres own = kBeforeWords + text_width(text, TextKind::kAnswer);
    if (x.value > 0.0 && x + own > width) {
      ++row;
      x = {};
    }
    places.push_back({row, x, text});
    x += own + kBetweenChoices;
  }
  return places;
}

class QuestionDrawing {
 public:
  QuestionDrawing(const SheetQuestion& question, Paper paper)
      : question_(question),
        width_(sheet_picture_width(paper)),
        places_(tick_places(question, width_)),
        picture_(question.picture) {
    // What is higher than a page would push the boxes off it.
    if (height() > paper.height - kSheetTop - kSheetBottom) picture_ = {};
  }

  Millimetres height() const {
    Millimetres all = leading(TextKind::kAsk) + kUnderAsk;
    for (const DrawnSystem& system : picture_) all += system.height + kBetweenPictures;
    all += rows_height();
    if (!question_.remark.empty()) all += leading(TextKind::kAnswer);
    return all;
  }

  void draw(Ink& ink, Millimetres top) const {
    const Millimetres left = kSheetSide + kNumberColumn;
    Millimetres y = top + cap_height(TextKind::kAsk);
    ink.words(TextKind::kAsk, {kSheetSide, y},
              fitted(question_.number, TextKind::kAsk, kNumberColumn));
    const std::string ask = fitted(question_.ask, TextKind::kAsk, width_);
    ink.words(TextKind::kAsk, {left, y}, ask);
    const Millimetres room = width_ - text_width(ask, TextKind::kAsk) - Millimetres{4.0};
    ink.words(TextKind::kSubtitle, {left + width_, y},
              fitted(question_.place, TextKind::kSubtitle, room), Anchor::kEnd);
    y = top + leading(TextKind::kAsk) + kUnderAsk;
    for (const DrawnSystem& system : picture_) {
      ink.place({left, y}, system.svg);
      y += system.height + kBetweenPictures;
    }
    for (std::size_t i = 0; i < places_.size(); ++i) draw_choice(ink, i, left, y);
    if (question_.remark.empty()) return;
    y += rows_height() + cap_height(TextKind::kAnswer);
    ink.words(TextKind::kSubtitle, {left, y},
              fitted(question_.remark, TextKind::kSubtitle, width_));
  }

 private:
  Millimetres rows_height() const {
    const std::size_t rows = places_.empty() ? 0 : places_.back().row + 1;
    return leading(TextKind::kAnswer) * static_cast<double>(rows);
  }

  void draw_choice(Ink& ink, std::size_t choice, Millimetres left, Millimetres top) const {
    const TickPlace& place = places_[choice];
    const Millimetres y =
        top + leading(TextKind::kAnswer) * static_cast<double>(place.row) + Millimetres{0.4};
    const Millimetres x = left + place.x;
    ink.box("tick", {{x, y}, kBox, kBox});
    if (question_.answer == choice) {
      ink.line("tick", {x, y}, {x + kBox, y + kBox});
      ink.line("tick", {x, y + kBox}, {x + kBox, y});
    }
    const Millimetres base = y + kBox - Millimetres{0.35};
    ink.words(TextKind::kAsk, {x + kBox + kAfterBox, base}, letter_of(choice));
    ink.words(TextKind::kAnswer, {x + kBeforeWords, base}, place.text);
  }

  const SheetQuestion& question_;
  Millimetres width_;
  std::vector<TickPlace> places_;
  std::span<const DrawnSystem> picture_;
};

// Fills pages from above.
class QuestionPages {
 public:
  QuestionPages(const QuestionSheet& sheet, Paper paper) : sheet_(sheet), paper_(paper) {}

  std::vector<Sheet> draw() {
    head();
    for (const SheetQuestion& question : sheet_.questions) {
      const QuestionDrawing drawing(question, paper_);
      make_room(drawing.height());
      drawing.draw(ink_, y_);
      y_ += drawing.height() + kBetweenQuestions;
    }
    if (!sheet_.answers.empty()) answers();
    end_page();
    return std::move(pages_);
  }

 private:
  Millimetres width() const { return paper_.width - kSheetSide * 2.0; }

  void line(TextKind kind, std::string_view text) {
    y_ += cap_height(kind);
    ink_.words(kind, {kSheetSide, y_}, fitted(text, kind, width()));
    y_ += leading(kind) - cap_height(kind);
  }

  void head() {
    if (!sheet_.title.empty()) line(TextKind::kTitle, sheet_.title);
    if (!sheet_.subtitle.empty()) line(TextKind::kSubtitle, sheet_.subtitle);
    if (sheet_.has_name_line) name_line();
    for (const std::string& words : sheet_.words) line(TextKind::kRemark, words);
    y_ += kUnderSheetHead;
  }

  void name_line() {
    y_ += kNameLine;
    const Millimetres right = paper_.width - kSheetSide;
    const Millimetres date = right - Millimetres{52.0};
    ink_.words(TextKind::kAnswer, {kSheetSide, y_}, "Name");
    ink_.line("rule", {kSheetSide + Millimetres{12.0}, y_}, {date - Millimetres{6.0}, y_});
    ink_.words(TextKind::kAnswer, {date, y_}, "Date");
    ink_.line("rule", {date + Millimetres{10.0}, y_}, {right, y_});
    y_ += kUnderSheetHead;
  }

  void answers() {
    const Millimetres row = leading(TextKind::kAsk);
    constexpr Millimetres kColumn{15.0};
    const auto columns = static_cast<std::size_t>(width() / kColumn);
    const std::size_t rows = (sheet_.answers.size() + columns - 1) / columns;
    make_room(row * static_cast<double>(rows + 1));
    line(TextKind::kSubtitle, "All answers");
    y_ += Millimetres{1.0};
    for (std::size_t i = 0; i < sheet_.answers.size(); ++i) {
      if (i % columns == 0) {
        make_room(row);
        y_ += row;
      }
      ink_.words(TextKind::kAsk, {kSheetSide + kColumn * static_cast<double>(i % columns), y_},
                 sheet_.answers[i]);
    }
  }

  void make_room(Millimetres height) {
    const bool is_new = y_ <= kSheetTop;
    if (!is_new && y_ + height > paper_.height - kSheetBottom) end_page();
  }

  void end_page() {
    ink_.words(TextKind::kFolio, {paper_.width / 2.0, paper_.height - kSheetFolio},
               std::to_string(pages_.size() + 1), Anchor::kMiddle);
    pages_.push_back(
        {svg_of(ink_.take(), paper_.width, paper_.height, true), paper_.width, paper_.height});
    ink_ = Ink();
    y_ = kSheetTop;
  }

  const QuestionSheet& sheet_;
  Paper paper_;
  Ink ink_;
  Millimetres y_ = kSheetTop;
  std::vector<Sheet> pages_;
};

}  // namespace

Millimetres sheet_picture_width(Paper paper) {
  return paper.width - kSheetSide * 2.0 - kNumberColumn;
}

std::vector<Sheet> draw_question_sheets(const QuestionSheet& sheet, Paper paper) {
  return QuestionPages(sheet, paper).draw();
}

}  // namespace arsis
