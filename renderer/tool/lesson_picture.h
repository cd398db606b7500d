// Pictures of a question's bars: as its answer would be drawn, and without any answer.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "lesson/question.h"
#include "page/sheet.h"
#include "page/system.h"

namespace arsis {

// Beyond so many lines a passage is not drawn.
inline constexpr std::size_t kMostQuestionLines = 8;

// The passage as it is played if that choice is right: the curves, the levels, the tempo. Empty
// where it is too long to be drawn.
class ChoicePicture {
 public:
  ChoicePicture(const LessonPiece& piece, const Question& question, std::size_t choice);
  ChoicePicture(ChoicePicture&&) noexcept;
  ~ChoicePicture();

  // `stretch`: as of Frame.
  std::vector<DrawnSystem> lines(Millimetres width, double stretch = 1.0) const;

 private:
  struct Drawn;
  std::unique_ptr<Drawn> drawn_;
};

// The notes alone, with the letters of the choices where these lie: the same whatever the answer.
std::vector<DrawnSystem> question_strips(const LessonPiece& piece, const Question& question,
                                         Millimetres width);

// Those of all questions of a set, as engraved staves where `staves` has some for their piece: a
// piece's are asked for all at once, which takes far less time than one by one.
//   staves  one for each piece; empty ones for those without
std::vector<std::vector<DrawnSystem>> question_strips(std::span<const LessonPiece> pieces,
                                                      std::span<const Question> questions,
                                                      std::span<const FieldSource> staves,
                                                      Millimetres width);

}  // namespace arsis
