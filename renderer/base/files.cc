#include "base/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <limits>
#include <string_view>
#include <system_error>

#include "base/text.h"

namespace arsis {
namespace fs = std::filesystem;

Result<Bytes> read_file(const fs::path& path, std::size_t limit) {
  const Where where{.file = path.string()};
  std::error_code failure;
  const fs::file_status status = fs::status(path, failure);
  if (status.type() == fs::file_type::none) {
    return fail(where, fmt::format("cannot be read ({})", failure.message()));
  }
  if (!fs::exists(status)) return fail(where, "no such file", "check the name and the folder");
  if (!fs::is_regular_file(status)) return fail(where, "not a regular file", "name a file");
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

namespace {

// Paths of the files aside, where a signal handler finds them without asking for memory. More files
// at once than there are slots, or longer paths, are only not found there.
struct Slot {
  std::atomic<bool> taken = false;
  std::atomic<bool> filled = false;
  std::array<char, 4096> path{};
};
std::array<Slot, 64> g_slots;  // one run of `render` has up to 24 files and their frames

void remember(const fs::path& path) {
  const std::string text = path.string();
  if (text.size() >= g_slots[0].path.size()) return;
  for (Slot& slot : g_slots) {
    if (slot.taken.exchange(true)) continue;
    std::copy(text.begin(), text.end(), slot.path.begin());
    slot.path[text.size()] = '\0';
    slot.filled = true;
    return;
  }
}

void forget(const fs::path& path) {
  for (Slot& slot : g_slots) {
    if (!slot.filled || path.string() != slot.path.data()) continue;
    slot.filled = false;
    slot.taken = false;
    return;
  }
}

constexpr std::string_view kAside = ".arsis-";  // then the process, "-", a number, the ending

// A new file of our own in the folder: none that exists is opened, whatever its name.
Result<fs::path> new_file_in(const fs::path& folder, const fs::path& target) {
  static std::atomic<unsigned> count = 0;  // two files aside of one process must not share a name
  constexpr int kTries = 100;
  for (int i = 0; i < kTries; ++i) {
    const fs::path path =
        folder / fmt::format("{}{}-{}{}", kAside, ::getpid(), ++count, target.extension().string());
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file >= 0) {
      ::close(file);
      return path;
    }
    if (errno != EEXIST) break;
  }
  return fail({.file = target.string()},
              fmt::format("cannot be written ({})", std::strerror(errno)), "choose another place");
}

}  // namespace

void remove_files_aside() {
  for (Slot& slot : g_slots) {
    if (slot.filled) ::unlink(slot.path.data());
  }
}

void remove_left_aside(const fs::path& folder) {
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, ignored)) {
    const std::string name = entry.path().filename().string();
    if (!name.starts_with(kAside)) continue;
    const std::string_view rest = std::string_view(name).substr(kAside.size());
    const auto process = parse_integer(rest.substr(0, rest.find('-')));
    if (!process || *process <= 0 || *process > std::numeric_limits<pid_t>::max()) continue;
    const bool is_gone = ::kill(static_cast<pid_t>(*process), 0) != 0 && errno == ESRCH;
    if (is_gone) fs::remove(entry.path(), ignored);
  }
}

FileAside::FileAside(fs::path target, fs::path path)
    : target_(std::move(target)), path_(std::move(path)) {
  remember(path_);
}

FileAside::FileAside(FileAside&& other) noexcept
    : target_(std::move(other.target_)), path_(std::move(other.path_)) {
  other.path_.clear();
}

FileAside::~FileAside() {
  if (path_.empty()) return;
  std::error_code ignored;
  fs::remove(path_, ignored);
  forget(path_);
}

Result<FileAside> FileAside::beside(const fs::path& named) {
  const Where where{.file = named.string()};
  std::error_code ignored;
  if (named.filename().empty() || fs::is_directory(named, ignored)) {
    return fail(where, "is a folder", "name a file");
  }
  // A device or a pipe would be replaced by a file, which nobody means.
  if (fs::exists(named, ignored) && !fs::is_regular_file(named, ignored)) {
    return fail(where, "is not a regular file", "name a file");
  }
  // Through a link to the file that it means, so that the link stays one.
  const fs::path target =
      fs::is_symlink(named, ignored) ? fs::weakly_canonical(named, ignored) : named;
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  if (!fs::is_directory(folder, ignored)) {
    return fail(where, fmt::format("there is no folder '{}'", folder.string()),
                "name a folder that exists");
  }
  if (fs::exists(target, ignored) && ::access(target.c_str(), W_OK) != 0) {
    return fail(where, fmt::format("cannot be written ({})", std::strerror(errno)),
                "choose another name");
  }
  Result<fs::path> path = new_file_in(folder, target);
  if (!path) return path.diagnostics();
  return FileAside(target, *path);
}

Result<Done> FileAside::commit() {
  std::error_code failure;
  std::error_code ignored;
  // Who may read the file that is replaced may read the new one, and nobody else.
  const fs::file_status before = fs::status(target_, ignored);
  if (fs::exists(before)) fs::permissions(path_, before.permissions(), ignored);
  fs::rename(path_, target_, failure);
  if (failure) {
    return fail({.file = target_.string()},
                fmt::format("cannot be written ({})", failure.message()), "choose another place");
  }
  forget(path_);
  path_.clear();
  return Done{};
}

bool same_file(const fs::path& a, const fs::path& b) {
  std::error_code ignored;
  return fs::equivalent(a, b, ignored);
}

fs::path cache_folder() {
  const char* cache = std::getenv("XDG_CACHE_HOME");
  if (cache != nullptr && fs::path(cache).is_absolute()) return fs::path(cache) / "arsis";
  const char* home = std::getenv("HOME");
  if (home != nullptr && fs::path(home).is_absolute()) return fs::path(home) / ".cache/arsis";
  return {};
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
