// An ear-training set made ready: its pieces, its questions, its instrument, and a sum of all that
// decides it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "lesson/questions.h"
#include "tool/lesson_wish.h"
#include "tool/prepare.h"

namespace arsis {

struct LessonSet {
  std::vector<std::unique_ptr<Prepared>> held;  // one for each plan
  std::vector<LessonPiece> pieces;              // of them, in their order
  std::vector<Question> questions;
  std::string title;  // as asked for, else of the pieces; any bytes, may be empty
  std::filesystem::path soundfont;
  std::filesystem::path soundfont_beneath;
  std::vector<std::filesystem::path> inputs;  // all files that it is made from
  Seconds sound;          // of every choice of every question, without what rings on
  std::uint64_t sum = 0;  // of the inputs' bytes and the words: the same sum, the same set

  const LessonPiece& piece_of(const Question& question) const { return pieces[question.piece]; }
  std::string title_of_piece(std::size_t piece) const;  // of its plan or score; may be empty
};

// All sound of a set: with it a page takes some 35 MB, two fifths of them pictures.
inline constexpr Seconds kLongestLesson{7200.0};

// Reports errors and warnings itself. None: with the exit code for it in `code`.
std::optional<LessonSet> lesson_set_of(const LessonArgs& args, const LessonWish& wish, int& code);

}  // namespace arsis
