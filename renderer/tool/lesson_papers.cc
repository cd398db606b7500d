#include "tool/lesson_papers.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "base/text.h"
#include "lesson/guessing.h"
#include "lesson/places.h"
#include "tool/lesson_picture.h"
#include "tool/staves.h"

namespace arsis {
namespace {

constexpr const char* kListenFirst =
    "Begin at a comfortable level, and rest your ears in between. Stop if anything hurts or rings.";

constexpr double kKeyStretch = 0.72;  // three questions stand on a page

SheetQuestion asked(const LessonSet& set, std::size_t number) {
  const Question& question = set.questions[number];
  const LessonPiece& piece = set.piece_of(question);
  SheetQuestion sheet;
  sheet.number = std::to_string(number + 1);
  sheet.ask = words_of(question.kind);
  sheet.place = place_words(set, question);
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    sheet.choices.push_back(choice_words(piece, question, i));
  }
  return sheet;
}

// "Heard at 150 %. Your plan says a."
std::string remark_of(const LessonSet& set, const Question& question) {
  std::string remark = fmt::format("Heard at {} %.", std::lround(question.amount * 100.0));
  const std::size_t own = plans_own(set.piece_of(question), question);
  if (own < question.choices.size() && own != question.answer) {
    remark += fmt::format(" Your plan says {}.", letter_of(own));
  }
  return remark;
}

std::string count_words(const LessonSet& set) {
  const std::size_t count = set.questions.size();
  return fmt::format("{} question{}", count, count == 1 ? "" : "s");
}

}  // namespace

std::string place_words(const LessonSet& set, const Question& question) {
  const std::string title = set.title_of_piece(question.piece);
  const std::string bars = bars_text(set.piece_of(question).score.bars, question.span);
  return title.empty() ? bars : title + ", " + bars;
}

QuestionSheet student_sheet(const LessonSet& set, Paper paper, bool engraves) {
  QuestionSheet sheet;
  sheet.title = set.title;
  sheet.subtitle = count_words(set);
  sheet.has_name_line = true;
  sheet.words = {
      "Listen to the clip of each number, as often as your teacher says, and tick one "
      "answer.",
      "Letters over the notes show where an answer lies; 14:3 is bar 14, beat 3.", kListenFirst};
  std::vector<FieldSource> staves;
  for (const auto& held : set.held) {
    staves.push_back(engraves ? staves_of(held->loaded) : FieldSource{});
  }
  auto strips = question_strips(set.pieces, set.questions, staves, sheet_picture_width(paper));
  for (std::size_t i = 0; i < set.questions.size(); ++i) {
    SheetQuestion question = asked(set, i);
    question.picture = std::move(strips[i]);
    sheet.questions.push_back(std::move(question));
  }
  return sheet;
}

QuestionSheet key_sheet(const LessonSet& set, Paper paper) {
  QuestionSheet sheet;
  sheet.title = set.title;
  sheet.subtitle = "The teacher's key: " + count_words(set);
  sheet.words = {
      "Each passage is drawn as it was heard: curves of sentences, phrases and motifs, "
      "of which a heavy one leads;",
      "then the notes, what sounds of them, and the tempo.", kListenFirst};
  for (std::size_t i = 0; i < set.questions.size(); ++i) {
    const Question& asked_one = set.questions[i];
    SheetQuestion question = asked(set, i);
    question.answer = asked_one.answer;
    question.remark = remark_of(set, asked_one);
    question.picture = ChoicePicture(set.piece_of(asked_one), asked_one, asked_one.answer)
                           .lines(sheet_picture_width(paper), kKeyStretch);
    sheet.answers.push_back(question.number + letter_of(asked_one.answer));
    sheet.questions.push_back(std::move(question));
  }
  return sheet;
}

}  // namespace arsis
