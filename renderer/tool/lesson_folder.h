// The folder that a lesson is written to, and what an earlier run, broken off, has finished of the
// same set.
//
//   set.txt          which set it is, and whether it is whole
//   clips/01.mp3 ... one for each question
//   unfinished/01 ...while it is made: what the page will need of that question
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/files.h"

namespace arsis {

// What is kept of a question whose clip is written.
struct LessonPart {
  std::uint64_t clip_sum = 0;  // check_sum() of the clip's file
  std::uint64_t frames = 0;    // of each sound, and of the clip
  std::vector<Bytes> sounds;   // one for each choice
};

// As text, and back: none where it is not whole or belongs to another set. At most kMostSounds.
inline constexpr std::size_t kMostSounds = 16;
Bytes bytes_of_part(const LessonPart& part, std::uint64_t set_sum);
std::optional<LessonPart> part_of_bytes(std::span<const std::uint8_t> bytes, std::uint64_t set_sum);

struct LessonFiles {
  std::filesystem::path folder;
  std::size_t questions = 0;
  std::string ending;               // of the clips
  std::vector<std::string> papers;  // further files of a whole set: "key.pdf"
  std::uint64_t sum = 0;            // of the set
};

// Of a question, from 0: "clips/01.mp3" in the folder; all names as long as one another.
std::filesystem::path clip_path(const LessonFiles& files, std::size_t number);

class LessonFolder {
 public:
  // What of another set, or of these names, is in the folder and would be written over; nothing
  // where the set may be written, or goes on.
  static Diagnostics in_the_way(const LessonFiles& files);

  // Makes the folder, where there is none; its parent must be there. What is in the way is
  // replaced: the files of another set go, single files are written over as their turn comes.
  // Errors: it is no folder; it cannot be written.
  static Result<LessonFolder> open(LessonFiles files);

  // Whether every file of the set is there already.
  bool is_whole() const;
  std::filesystem::path clip(std::size_t number) const { return clip_path(files_, number); }
  std::filesystem::path file(const std::string& name) const { return files_.folder / name; }

  // What was finished of that question, its clip still being as it was.
  std::optional<LessonPart> kept(std::size_t number) const;
  // The clip is written; errors: of reading it, of writing what is kept.
  Result<Done> keep(std::size_t number, LessonPart part) const;
  // All files are written: what was kept goes.
  Result<Done> finish() const;

 private:
  explicit LessonFolder(LessonFiles files) : files_(std::move(files)) {}
  std::filesystem::path part(std::size_t number) const;
  std::string text(bool whole) const;
  Result<Done> write_text(bool whole) const;
  bool holds_this_set() const;
  void clear() const;

  LessonFiles files_;
};

}  // namespace arsis
