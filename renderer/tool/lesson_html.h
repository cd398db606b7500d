// The page of an ear-training set, lesson.html: every choice of every question with its sound and
// its picture.
#pragma once

#include <string>
#include <vector>

#include "tool/lesson_folder.h"
#include "tool/lesson_set.h"

namespace arsis {

// The whole file. The same set and parts give the same bytes.
//   parts        one for each question, with a sound for each of its choices
//   sample_rate  of the sounds, frames a second
std::string lesson_html(const LessonSet& set, std::vector<LessonPart> parts, int sample_rate);

}  // namespace arsis
