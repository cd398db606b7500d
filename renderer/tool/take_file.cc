#include "tool/take_file.h"

#include <fmt/chrono.h>

#include <algorithm>
#include <chrono>

#include "base/text.h"
#include "smf/recording.h"
#include "smf/score_reader.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::size_t kLongestTitle = 200;  // bytes

// When the file was last changed, in local time to the minute; empty where that cannot be told.
std::string changed_on(const fs::path& path) {
  std::error_code failed;
  const fs::file_time_type time = fs::last_write_time(path, failed);
  if (failed) return {};
  const auto age = fs::file_time_type::clock::now() - time;
  const auto then = std::chrono::system_clock::now() -
                    std::chrono::duration_cast<std::chrono::system_clock::duration>(age);
  return fmt::format("{:%Y-%m-%d %H:%M}",
                     fmt::localtime(std::chrono::system_clock::to_time_t(then)));
}

Seconds length_of(const Take& take) {
  Seconds end{0.0};
  for (const PlayedNote& note : take.notes) end = std::max(end, note.end);
  return take.notes.empty() ? end : end - take.notes.front().onset;
}

}  // namespace

Result<TakeFile> read_take(const fs::path& path) {
  const Result<Score> file = read_score(path, Origin::kPlayed);
  if (!file) return file.diagnostics();
  Result<Take> take = take_of(*file);
  if (!take) return take.diagnostics();
  TakeFile read;
  read.path = path;
  read.take = *std::move(take);
  read.title = printable(file->title, kLongestTitle);
  constexpr std::size_t kToTheMinute = 16;  // of "2026-11-29 16:50:12"
  read.date = printable(recorded_on(*file), kLongestTitle).substr(0, kToTheMinute);
  if (read.date.empty()) read.date = changed_on(path);
  read.length = length_of(read.take);
  return {std::move(read), file.diagnostics()};
}

Result<AlignedTake> read_take_of(const Loaded& loaded, const fs::path& path) {
  Result<TakeFile> file = read_take(path);
  if (!file) return file.diagnostics();
  AlignedTake take{*std::move(file), {}};
  take.alignment = align(loaded.score, take.file.take);
  if (take.alignment.is_same_piece()) return {std::move(take), file.diagnostics()};
  const std::string title = printable(title_of(loaded));
  return fail({.file = path.string()},
              fmt::format("is no take of '{}': only {:.0f} % of it and the score agree",
                          title.empty() ? "untitled" : title, take.alignment.fit * 100.0),
              fmt::format("at least {:.0f} % are needed; name a take of this plan, or the plan of "
                          "this take",
                          Alignment::kSamePiece * 100.0));
}

}  // namespace arsis
