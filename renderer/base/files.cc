#include "base/files.h"

#include <fmt/format.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <system_error>

namespace arsis {
namespace fs = std::filesystem;

Result<Bytes> read_file(const fs::path& path, std::size_t limit) {
  const Where where{.file = path.string()};
  std::error_code failure;
  const fs::file_status status = fs::status(path, failure);
  if (status.type() == fs::file_type::none) {
    return fail(where, fmt::format("cannot be read ({})", failure.message()));
  }
  if (!fs::exists(status)) return fail(where, "no such file");
  if (!fs::is_regular_file(status)) return fail(where, "not a regular file");
  const std::uintmax_t size = fs::file_size(path, failure);
  if (failure) return fail(where, fmt::format("cannot be read ({})", failure.message()));
  if (size > limit) {
    return fail(where, fmt::format("too large ({} bytes)", size),
                fmt::format("at most {} bytes are read", limit));
  }
  std::ifstream file(path, std::ios::binary);
  if (!file) return fail(where, fmt::format("cannot be read ({})", std::strerror(errno)));
  Bytes bytes(static_cast<std::size_t>(size));
  file.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  if (static_cast<std::size_t>(file.gcount()) != bytes.size()) {
    return fail(where, "cannot be read to its end");
  }
  return bytes;
}

FileAside::FileAside(fs::path target, fs::path path)
    : target_(std::move(target)), path_(std::move(path)) {}

FileAside::FileAside(FileAside&& other) noexcept
    : target_(std::move(other.target_)), path_(std::move(other.path_)) {
  other.path_.clear();
}

FileAside::~FileAside() {
  std::error_code ignored;
  if (!path_.empty()) fs::remove(path_, ignored);
}

Result<FileAside> FileAside::beside(const fs::path& target) {
  static std::atomic<unsigned> count = 0;  // two files aside of one process must not share a name
  const Where where{.file = target.string()};
  std::error_code ignored;
  if (target.filename().empty() || fs::is_directory(target, ignored)) {
    return fail(where, "is a folder", "name a file");
  }
  // A device or a pipe would be replaced by a file, which nobody means.
  if (fs::exists(target, ignored) && !fs::is_regular_file(target, ignored)) {
    return fail(where, "is not a regular file", "name a file");
  }
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  if (!fs::is_directory(folder, ignored)) {
    return fail(where, fmt::format("there is no folder '{}'", folder.string()),
                "name a folder that exists");
  }
  const fs::path path = folder / fmt::format(".{}.{}-{}{}", target.stem().string(), ::getpid(),
                                             ++count, target.extension().string());
  const std::ofstream probe(path, std::ios::binary);
  if (!probe) return fail(where, fmt::format("cannot be written ({})", std::strerror(errno)));
  return FileAside(target, path);
}

Result<Done> FileAside::commit() {
  std::error_code failure;
  fs::rename(path_, target_, failure);
  if (failure) {
    return fail({.file = target_.string()},
                fmt::format("cannot be written ({})", failure.message()));
  }
  path_.clear();
  return Done{};
}

Result<Done> write_file(const fs::path& target, std::span<const std::uint8_t> bytes) {
  Result<FileAside> aside = FileAside::beside(target);
  if (!aside) return aside.diagnostics();
  std::ofstream file(aside->path(), std::ios::binary);
  file.write(reinterpret_cast<const char*>(bytes.data()),
             static_cast<std::streamsize>(bytes.size()));
  file.close();
  if (!file) {
    return fail({.file = target.string()},
                fmt::format("cannot be written ({})", std::strerror(errno)));
  }
  return aside->commit();
}

}  // namespace arsis
