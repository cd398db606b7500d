#include "tool/lesson_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <initializer_list>
#include <string_view>
#include <system_error>
#include <utility>

#include "base/check_sum.h"
#include "base/text.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::string_view kPartHead = "arsis lesson part 1\n";
constexpr const char* kSetFile = "set.txt";
constexpr const char* kClips = "clips";
constexpr const char* kUnfinished = "unfinished";
constexpr std::size_t kMostText = 4096;
constexpr std::size_t kMostPart = 64u << 20;  // bytes: all choices of one question

std::span<const std::uint8_t> text_bytes(std::string_view text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

void add_number(Bytes& bytes, std::uint64_t number) {
  for (int i = 0; i < 8; ++i) bytes.push_back(static_cast<std::uint8_t>(number >> (8 * i)));
}

// Reads what the writer wrote; an end too early gives zeros and is remembered.
class PartCursor {
 public:
  explicit PartCursor(std::span<const std::uint8_t> bytes) : left_(bytes) {}
  std::span<const std::uint8_t> take(std::size_t count) {
    if (count > left_.size()) {
      is_short_ = true;
      return {};
    }
    const auto taken = left_.first(count);
    left_ = left_.subspan(count);
    return taken;
  }
  std::uint64_t number() {
    std::uint64_t value = 0;
    int shift = 0;
    for (const std::uint8_t byte : take(8)) {
      value |= std::uint64_t{byte} << shift;
      shift += 8;
    }
    return value;
  }
  bool is_done() const { return !is_short_ && left_.empty(); }
  bool is_short() const { return is_short_; }

 private:
  std::span<const std::uint8_t> left_;
  bool is_short_ = false;
};

// Of a regular file, some thousands of bytes at a time: a clip may be longer than memory is wide.
Result<std::uint64_t> sum_of_file(const fs::path& path) {
  std::error_code ignored;
  const Where where{.file = path.string()};
  if (!fs::is_regular_file(path, ignored)) return fail(where, "not a regular file");
  std::ifstream file(path, std::ios::binary);
  std::uint64_t sum = kNoBytesSum;
  std::array<char, 65'536> block{};
  while (file) {
    file.read(block.data(), block.size());
    sum = check_sum(std::string_view(block.data(), static_cast<std::size_t>(file.gcount())), sum);
  }
  if (!file.eof()) return fail(where, "cannot be read to its end");
  return sum;
}

bool is_digits(std::string_view text) {
  return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

// Removes files whose names are numbers with one of these endings, and the folder with them where
// nothing else is in it.
void remove_numbered(const fs::path& folder, std::initializer_list<std::string_view> endings) {
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, ignored)) {
    const fs::path& path = entry.path();
    const bool is_ours = is_digits(path.stem().string()) &&
                         std::ranges::find(endings, path.extension().string()) != endings.end();
    if (is_ours) fs::remove(path, ignored);
  }
  fs::remove(folder, ignored);
}

Result<Done> make_folder(const fs::path& folder) {
  std::error_code failure;
  if (fs::is_directory(folder, failure)) return Done{};
  fs::create_directory(folder, failure);
  if (!failure) return Done{};
  return fail({.file = folder.string()}, fmt::format("cannot be made ({})", failure.message()),
              "name a folder where one can be made");
}

// All as long as one another, so that they stand in order.
std::string name_of(const LessonFiles& files, std::size_t number) {
  return fmt::format("{:0{}}", number + 1, files.questions > 99 ? 3 : 2);
}

}  // namespace

fs::path clip_path(const LessonFiles& files, std::size_t number) {
  return files.folder / kClips / (name_of(files, number) + files.ending);
}

Bytes bytes_of_part(const LessonPart& part, std::uint64_t set_sum) {
  Bytes bytes(kPartHead.begin(), kPartHead.end());
  add_number(bytes, set_sum);
  add_number(bytes, part.clip_sum);
  add_number(bytes, part.frames);
  add_number(bytes, part.sounds.size());
  for (const Bytes& sound : part.sounds) {
    add_number(bytes, sound.size());
    bytes.insert(bytes.end(), sound.begin(), sound.end());
  }
  add_number(bytes, check_sum(bytes));
  return bytes;
}

std::optional<LessonPart> part_of_bytes(std::span<const std::uint8_t> bytes,
                                        std::uint64_t set_sum) {
  PartCursor cursor(bytes);
  if (!std::ranges::equal(cursor.take(kPartHead.size()), text_bytes(kPartHead)))
    return std::nullopt;
  if (cursor.number() != set_sum) return std::nullopt;
  LessonPart part;
  part.clip_sum = cursor.number();
  part.frames = cursor.number();
  const std::uint64_t count = cursor.number();
  if (count > kMostSounds) return std::nullopt;
  for (std::uint64_t i = 0; i < count && !cursor.is_short(); ++i) {
    const auto sound = cursor.take(static_cast<std::size_t>(cursor.number()));
    part.sounds.emplace_back(sound.begin(), sound.end());
  }
  const std::uint64_t sum = cursor.number();
  if (!cursor.is_done() || sum != check_sum(bytes.first(bytes.size() - 8))) return std::nullopt;
  return part;
}

Result<LessonFolder> LessonFolder::open(LessonFiles files) {
  LessonFolder folder(std::move(files));
  const fs::path& path = folder.files_.folder;
  std::error_code ignored;
  if (path.empty() || (fs::exists(path, ignored) && !fs::is_directory(path, ignored))) {
    return fail({.file = path.string()}, "is no folder", "name a folder, a new one is best");
  }
  if (!folder.holds_this_set()) folder.clear();
  for (const fs::path& each : {path, path / kClips}) {
    if (const Result<Done> made = make_folder(each); !made) return made.diagnostics();
  }
  for (const fs::path& each : {path, path / kClips, path / kUnfinished}) remove_left_aside(each);
  if (folder.is_whole()) {
    remove_numbered(path / kUnfinished, {""});  // of a run that was killed at its very end
    return folder;
  }
  if (const Result<Done> made = make_folder(path / kUnfinished); !made) return made.diagnostics();
  if (const Result<Done> written = folder.write_text(false); !written) return written.diagnostics();
  return folder;
}

bool LessonFolder::is_whole() const {
  const Result<Bytes> bytes = read_file(files_.folder / kSetFile, kMostText);
  if (!bytes || !std::ranges::equal(*bytes, text_bytes(text(true)))) return false;
  std::error_code ignored;
  for (const std::string& paper : files_.papers) {
    if (!fs::exists(file(paper), ignored)) return false;
  }
  for (std::size_t i = 0; i < files_.questions; ++i) {
    if (!fs::exists(clip(i), ignored)) return false;
  }
  return true;
}

fs::path LessonFolder::part(std::size_t number) const {
  return files_.folder / kUnfinished / name_of(files_, number);
}

std::optional<LessonPart> LessonFolder::kept(std::size_t number) const {
  const Result<Bytes> bytes = read_file(part(number), kMostPart);
  if (!bytes) return std::nullopt;
  auto found = part_of_bytes(*bytes, files_.sum);
  if (!found) return std::nullopt;
  const Result<std::uint64_t> sum = sum_of_file(clip(number));
  if (!sum || *sum != found->clip_sum) return std::nullopt;
  return found;
}

Result<Done> LessonFolder::keep(std::size_t number, LessonPart kept) const {
  const Result<std::uint64_t> sum = sum_of_file(clip(number));
  if (!sum) return sum.diagnostics();
  kept.clip_sum = *sum;
  return write_file(part(number), bytes_of_part(kept, files_.sum));
}

Result<Done> LessonFolder::finish() const {
  if (const Result<Done> written = write_text(true); !written) return written.diagnostics();
  remove_numbered(files_.folder / kUnfinished, {""});
  return Done{};
}

std::string LessonFolder::text(bool whole) const {
  return fmt::format(
      "An ear-training set, written by `arsis lesson`. The same words make the same set again.\n"
      "set: {:016x}\nquestions: {}\n{}\n",
      files_.sum, files_.questions,
      whole ? "It is whole."
            : "It is not whole yet: the same command goes on where it was broken off.");
}

Result<Done> LessonFolder::write_text(bool whole) const {
  const std::string words = text(whole);
  return write_file(files_.folder / kSetFile, text_bytes(words));
}

bool LessonFolder::holds_this_set() const {
  const Result<Bytes> bytes = read_file(files_.folder / kSetFile, kMostText);
  return bytes && (std::ranges::equal(*bytes, text_bytes(text(false))) ||
                   std::ranges::equal(*bytes, text_bytes(text(true))));
}

Diagnostics LessonFolder::in_the_way(const LessonFiles& files) {
  const LessonFolder folder(files);
  std::error_code ignored;
  if (folder.holds_this_set() || !fs::is_directory(files.folder, ignored)) return {};
  if (fs::exists(folder.file(kSetFile), ignored)) {
    return fail({.file = files.folder.string()}, "holds another set",
                "name another folder, give the words of that set again, or add --force to replace "
                "it");
  }
  std::vector<std::string> names = files.papers;
  names.insert(names.end(), {kClips, kUnfinished});
  for (const std::string& name : names) {
    if (!fs::exists(folder.file(name), ignored)) continue;
    return fail({.file = folder.file(name).string()}, "is there already",
                "name another folder, or add --force to replace it");
  }
  return {};
}

// Of another set all goes at once, its papers, too: a key must not lie beside clips that it does
// not belong to, should this run be broken off. What is no set's stays until it is written over.
void LessonFolder::clear() const {
  std::error_code ignored;
  if (!fs::exists(files_.folder / kSetFile, ignored)) return;
  for (const std::string& paper : files_.papers) fs::remove(file(paper), ignored);
  remove_numbered(files_.folder / kClips, {".mp3", ".wav"});
  remove_numbered(files_.folder / kUnfinished, {""});
}

}  // namespace arsis
