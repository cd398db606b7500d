#include "tool/lesson_picture.h"

#include <cassert>
#include <optional>
#include <string>
#include <string_view>
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

namespace {

// The names of what is used several times in a drawing, made a piece's own: two engravings of two
// pieces on one sheet have the same.
void rename_uses(std::string& svg, const std::string& prefix) {
  for (const std::string_view place : {" id=\"", "href=\"#"}) {
    for (auto at = svg.find(place); at != std::string::npos; at = svg.find(place, at)) {
      at += place.size();
      svg.insert(at, prefix);
    }
  }
}

// The strips of questions of one piece.
class PieceStrips {
 public:
  PieceStrips(const LessonPiece& piece, std::size_t number, Millimetres width)
      : piece_(piece),
        number_(number),
        width_(width),
        shaped_(perform(piece.score, piece.bound, {})),
        picture_{piece.score, piece.bound, shaped_.levels, {}, {}, {}, {}, {}} {}

  // All that questions will ask for, made at once.
  void engrave(const FieldSource& staves, std::span<const Question* const> questions) {
    if (!staves) return;
    std::vector<System> systems;
    for (const Question* question : questions) {
      const std::vector<System> own = strip_systems(picture_, question->span, width_);
      systems.insert(systems.end(), own.begin(), own.end());
    }
    if (!systems.empty()) fields_ = staves(systems, strip_room(width_));
    for (std::optional<NoteField>& field : fields_) {
      if (field) rename_uses(field->svg, "p" + std::to_string(number_) + "-");
    }
  }

  // In the order in which they were engraved.
  std::vector<DrawnSystem> draw(const Question& question) {
    std::vector<StripLabel> labels;
    for (const ChoicePlace& place : choice_places(piece_, question)) {
      labels.push_back({place.span, place.letter});
    }
    return draw_strips(picture_, question.span, labels, width_,
                       [this](std::span<const System> systems, Millimetres) {
                         return next_fields(systems.size());
                       });
  }

 private:
  std::vector<std::optional<NoteField>> next_fields(std::size_t count) {
    std::vector<std::optional<NoteField>> fields;
    for (std::size_t i = 0; i < count && next_ < fields_.size(); ++i) {
      fields.push_back(std::move(fields_[next_++]));
    }
    return fields;
  }

  const LessonPiece& piece_;
  std::size_t number_;
  Millimetres width_;
  Shaped shaped_;
  Picture picture_;
  std::vector<std::optional<NoteField>> fields_;
  std::size_t next_ = 0;
};

}  // namespace

std::vector<DrawnSystem> question_strips(const LessonPiece& piece, const Question& question,
                                         Millimetres width) {
  return PieceStrips(piece, 0, width).draw(question);
}

std::vector<std::vector<DrawnSystem>> question_strips(std::span<const LessonPiece> pieces,
                                                      std::span<const Question> questions,
                                                      std::span<const FieldSource> staves,
                                                      Millimetres width) {
  assert(staves.size() == pieces.size());
  std::vector<std::vector<DrawnSystem>> strips(questions.size());
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    std::vector<const Question*> own;
    for (const Question& question : questions) {
      if (question.piece == i) own.push_back(&question);
    }
    if (own.empty()) continue;
    PieceStrips piece(pieces[i], i, width);
    piece.engrave(staves[i], own);
    for (const Question* question : own) {
      strips[static_cast<std::size_t>(question - questions.data())] = piece.draw(*question);
    }
  }
  return strips;
}

}  // namespace arsis
