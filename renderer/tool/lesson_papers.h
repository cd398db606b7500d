// The printed side of an ear-training set: the students' sheet and the teacher's key.
#pragma once

#include <string>
#include <vector>

#include "page/lesson_sheets.h"
#include "tool/lesson_set.h"

namespace arsis {

// "Lantern Song, bars 0 to 3"; of a piece without a title the bars alone.
std::string place_words(const LessonSet& set, const Question& question);

// What is asked and what may be answered; the same whatever the answers. The notes of MusicXML as
// an engraved staff, where the library is.
//   engraves  false: none is engraved
QuestionSheet student_sheet(const LessonSet& set, Paper paper, bool engraves = true);

// The same with the answers, how much of the shape was heard, what the plan itself says where that
// is another answer, and each passage drawn as it was heard.
QuestionSheet key_sheet(const LessonSet& set, Paper paper);

}  // namespace arsis
