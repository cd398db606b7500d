// Files in and out. Reading is bounded; writing goes to a temporary file beside the target, which
// then takes the target's name, so that a failed run leaves no half file and no lost one.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

using Bytes = std::vector<std::uint8_t>;

// The whole of a regular file of at most `limit` bytes. Errors: not there, a folder or a device,
// not readable, too large.
Result<Bytes> read_file(const std::filesystem::path& path, std::size_t limit);

// A new file beside `target` that takes the target's name on commit() and is gone otherwise.
class FileAside {
 public:
  // `target` may exist and is replaced whole on commit(); a folder or a device in its place is an
  // error, found here. A link is followed: the file that it means is replaced, with its permissions
  // kept. Keeps the target's ending, so that a library that goes by it is not misled.
  static Result<FileAside> beside(const std::filesystem::path& target);

  FileAside(FileAside&& other) noexcept;
  FileAside& operator=(FileAside&&) = delete;
  ~FileAside();

  const std::filesystem::path& path() const { return path_; }
  Result<Done> commit();

 private:
  FileAside(std::filesystem::path target, std::filesystem::path path);
  std::filesystem::path target_;
  std::filesystem::path path_;  // empty once committed or moved from
};

// Removes every file aside that is not committed. For a signal handler: asks for no memory, locks
// nothing; the process should end then.
void remove_files_aside();

// Removes the files aside in that folder that a process left behind which is gone; not those that a
// living one is writing. What cannot be removed stays.
void remove_left_aside(const std::filesystem::path& folder);

// Whether both names mean one file that is there.
bool same_file(const std::filesystem::path& a, const std::filesystem::path& b);

// Where the program keeps what it can make anew: the folder `arsis` in XDG_CACHE_HOME, else in
// HOME/.cache; empty where neither is set. It may not exist yet.
//   Source: XDG Base Directory Specification 0.8; a path there that is not absolute is ignored.
std::filesystem::path cache_folder();

// Writes `bytes` as the whole of `target`, by way of a FileAside.
Result<Done> write_file(const std::filesystem::path& target, std::span<const std::uint8_t> bytes);

}  // namespace arsis
