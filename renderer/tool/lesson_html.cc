#include "tool/lesson_html.h"

#include <fmt/format.h>

#include <cassert>
#include <utility>

#include "lesson/places.h"
#include "lesson/treatment.h"
#include "page/lesson_page.h"
#include "tool/lesson_page_data.h"
#include "tool/lesson_papers.h"
#include "tool/lesson_picture.h"

namespace arsis {
namespace {

LessonItem item_of(const LessonSet& set, const Question& question, LessonPart part,
                   int sample_rate) {
  const LessonPiece& piece = set.piece_of(question);
  LessonItem item;
  item.ask = words_of(question.kind);
  item.place = place_words(set, question);
  item.begin = question.span.begin;
  item.answer = question.answer;
  item.amount = question.amount;
  item.notes = question_strips(piece, question, kScreenLine);
  item.notes_narrow = question_strips(piece, question, kPhoneLine);
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    Excerpt heard = perform_choice(piece, question, i);
    const ChoicePicture picture(piece, question, i);
    item.choices.push_back({.label = choice_words(piece, question, i),
                            .opus = std::move(part.sounds[i]),
                            .time = std::move(heard.performance.time),
                            .moved = heard.moved,
                            .length = {static_cast<double>(part.frames) / sample_rate},
                            .picture = picture.lines(kScreenLine),
                            .narrow = picture.lines(kPhoneLine)});
  }
  return item;
}

}  // namespace

std::string lesson_html(const LessonSet& set, std::vector<LessonPart> parts, int sample_rate) {
  assert(parts.size() == set.questions.size());
  LessonPage page;
  page.title = set.title;
  page.sample_rate = sample_rate;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    page.items.push_back(item_of(set, set.questions[i], std::move(parts[i]), sample_rate));
  }
  return lesson_page(page, lesson_page_data(page));
}

}  // namespace arsis
