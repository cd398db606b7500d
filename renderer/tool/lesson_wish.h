// The words of `arsis lesson`, read.
#pragma once

#include <string>

#include "lesson/questions.h"
#include "page/sheet.h"
#include "sound/audio_file.h"
#include "tool/audio_options.h"
#include "tool/lesson.h"

namespace arsis {

struct LessonWish {
  LessonWishes wishes;
  Paper paper = kA4;
  bool staff = true;   // engraved, on the students' sheet
  std::string ending;  // of the clips: ".mp3", ".wav"
  AudioRequest audio;
  AudioSettings settings;  // of the clips' files
};

// Errors, all of them: those of the command line.
Result<LessonWish> lesson_wish_of(const LessonArgs& args);

}  // namespace arsis
