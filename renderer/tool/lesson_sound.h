// The sound of an ear-training set, question by question: every choice of it rendered, equally loud
// and equally long; the right one becomes its clip, all of them go to the page.
#pragma once

#include <functional>
#include <vector>

#include "tool/lesson_folder.h"
#include "tool/lesson_set.h"
#include "tool/lesson_wish.h"

namespace arsis {

// Of all choices of all questions together, about: a page takes a third more.
inline constexpr std::size_t kMostLessonSound = 12'000'000;  // bytes

struct LessonSound {
  std::vector<LessonPart> parts;  // one for each question
  std::size_t kept = 0;           // of them: from an earlier run
  std::size_t softened = 0;       // questions softer than asked for, because of a peak
};

// Writes the clips that are not there yet, in their order, with a progress line. What a clip is
// like outside of its sound (length, size, loudness) follows from all choices of its question, and
// so is the same whichever of them it holds. Reports errors and warnings itself. None: with the
// exit code for it in `code`; what is finished stays.
std::optional<LessonSound> make_lesson_sound(const LessonSet& set, const LessonWish& wish,
                                             const LessonFolder& folder, int& code);

}  // namespace arsis
