#include "tool/lesson_picture.h"

#include <cassert>
#include <utility>

#include "lesson/places.h"
#include "lesson/treatment.h"
#include "page/picture.h"
#include "page/question_strip.h"
#include "page/sheet.h"
#include "shape/perform.h"

namespace arsis {

// What a picture refers to.
struct ChoicePicture::Drawn {
  const Score& score;
  Span span;
  Treatment treatment;
  BoundPlan bound;
  Shaped shaped;
};

ChoicePicture::ChoicePicture(const LessonPiece& piece, const Question& question,
                             std::size_t choice) {
  Treatment treatment = treatment_of(piece, question, choice);
  Result<BoundPlan> bound = bind_plan(treatment.plan, piece.score, piece.printed);
  assert(bound);  // as perform_choice() has it
  Shaped shaped = perform(piece.score, *bound, treatment.layers);
  drawn_ = std::make_unique<Drawn>(Drawn{piece.score, question.span, std::move(treatment),
                                         *std::move(bound), std::move(shaped)});
}
ChoicePicture::ChoicePicture(ChoicePicture&&) noexcept = default;
ChoicePicture::~ChoicePicture() = default;

std::vector<DrawnSystem> ChoicePicture::lines(Millimetres width, double stretch) const {
  const Drawn& drawn = *drawn_;
  Picture picture{drawn.score, drawn.bound, drawn.shaped.levels, drawn.treatment.layers, {}, {},
                  {},          {}};
  picture.courses.push_back(course_of(drawn.score, drawn.bound, drawn.shaped, ""));
  auto lines = draw_lines(picture, drawn.span, width, {}, stretch);
  if (!lines || lines->size() > kMostQuestionLines) return {};
  return *std::move(lines);
}

std::vector<DrawnSystem> question_strips(const LessonPiece& piece, const Question& question,
                                         Millimetres width) {
  const Shaped shaped = perform(piece.score, piece.bound, {});
  const Picture picture{piece.score, piece.bound, shaped.levels, {}, {}, {}, {}, {}};
  std::vector<StripLabel> labels;
  for (const ChoicePlace& place : choice_places(piece, question)) {
    labels.push_back({place.span, place.letter});
  }
  return draw_strips(picture, question.span, labels, width);
}

}  // namespace arsis
