// Reading is bounded; writing replaces a file whole or leaves it alone.
#include "base/files.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>

namespace arsis {
namespace {

namespace fs = std::filesystem;

class Files : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "arsis-files-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder_ = pattern;
  }
  void TearDown() override { fs::remove_all(folder_); }

  fs::path put(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name, std::ios::binary) << text;
    return folder_ / name;
  }
  std::string text_of(const fs::path& path) const {
    const Result<Bytes> bytes = read_file(path, 1000);
    return bytes ? std::string(bytes->begin(), bytes->end()) : "unreadable";
  }
  std::size_t count() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
  }

  fs::path folder_;
};

Bytes bytes_of(std::string_view text) { return {text.begin(), text.end()}; }

std::string complaint(const Diagnostics& diagnostics) {
  return diagnostics.size() == 1 ? diagnostics[0].problem + "; " + diagnostics[0].remedy : "";
}

TEST_F(Files, AreReadWholeUpToTheLimit) {
  const fs::path path = put("a", "12345");
  EXPECT_EQ(text_of(path), "12345");
  EXPECT_TRUE(read_file(path, 5));
  const Result<Bytes> more = read_file(path, 4);
  ASSERT_FALSE(more);
  EXPECT_EQ(complaint(more.diagnostics()), "too large (5 bytes); at most 4 bytes are read");
  EXPECT_EQ(text_of(put("empty", "")), "");
}

TEST_F(Files, AreNotReadFromFoldersPipesOrNowhere) {
  EXPECT_EQ(complaint(read_file(folder_ / "none", 10).diagnostics()),
            "no such file; check the name and the folder");
  EXPECT_EQ(complaint(read_file(folder_, 10).diagnostics()), "not a regular file; name a file");
  EXPECT_EQ(complaint(read_file("/dev/zero", 10).diagnostics()), "not a regular file; name a file");
  const fs::path pipe = folder_ / "pipe";
  ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
  EXPECT_EQ(complaint(read_file(pipe, 10).diagnostics()), "not a regular file; name a file");
  EXPECT_EQ(complaint(read_file(folder_ / std::string(5000, 'n'), 10).diagnostics()),
            "cannot be read (File name too long); ");
  EXPECT_EQ(complaint(read_file(put("a", "1") / "b", 10).diagnostics()),
            "no such file; check the name and the folder");
}

TEST_F(Files, AreReplacedWhole) {
  const fs::path path = put("song.mid", "a longer text than the next");
  ASSERT_TRUE(write_file(path, bytes_of("new")));
  EXPECT_EQ(text_of(path), "new");
  EXPECT_EQ(count(), 1u);
  ASSERT_TRUE(write_file(folder_ / "other", {}));
  EXPECT_EQ(fs::file_size(folder_ / "other"), 0u);
}

TEST_F(Files, AreNotReplacedWhereTheyMayNotBeWritten) {
  if (::geteuid() == 0) GTEST_SKIP() << "the superuser may write everything";
  const fs::path path = put("song.mid", "old");
  fs::permissions(path, fs::perms::owner_read);
  EXPECT_EQ(complaint(write_file(path, bytes_of("new")).diagnostics()),
            "cannot be written (Permission denied); choose another name");
  EXPECT_EQ(text_of(path), "old");
}

TEST_F(Files, KeepTheirPermissionsAndTheLinksToThem) {
  const fs::path path = put("song.mid", "old");
  constexpr auto kOwnerOnly = fs::perms::owner_read | fs::perms::owner_write;
  fs::permissions(path, kOwnerOnly);
  fs::create_symlink("song.mid", folder_ / "link");
  ASSERT_TRUE(write_file(folder_ / "link", bytes_of("new")));
  EXPECT_TRUE(fs::is_symlink(folder_ / "link"));
  EXPECT_EQ(text_of(path), "new");
  EXPECT_EQ(fs::status(path).permissions(), kOwnerOnly);
  EXPECT_EQ(count(), 2u);
}

TEST_F(Files, StayAsTheyWereUntilTheCommit) {
  const fs::path path = put("song.wav", "old");
  {
    Result<FileAside> aside = FileAside::beside(path);
    ASSERT_TRUE(aside);
    EXPECT_EQ(aside->path().extension(), ".wav");
    EXPECT_EQ(aside->path().parent_path(), folder_);
    std::ofstream(aside->path()) << "half";
    EXPECT_EQ(text_of(path), "old");
    EXPECT_EQ(count(), 2u);
  }
  EXPECT_EQ(text_of(path), "old");
  EXPECT_EQ(count(), 1u);
}

TEST_F(Files, MayBeWrittenAsideTwiceAtOnce) {
  Result<FileAside> first = FileAside::beside(folder_ / "a");
  Result<FileAside> second = FileAside::beside(folder_ / "a");
  ASSERT_TRUE(first && second);
  EXPECT_NE(first->path(), second->path());
  const FileAside moved = *std::move(first);
  EXPECT_TRUE(fs::exists(moved.path()));
}

TEST_F(Files, AreNotWrittenOverFoldersDevicesOrIntoNowhere) {
  fs::create_directory(folder_ / "in");
  // A pipe of our own: a fault here must not cost the machine its /dev/null.
  ASSERT_EQ(::mkfifo((folder_ / "pipe").c_str(), 0600), 0);
  struct Row {
    fs::path target;
    std::string text;
  };
  const Row rows[] = {
      {folder_ / "in", "is a folder; name a file"},
      {folder_ / "in" / "", "is a folder; name a file"},
      {folder_ / "pipe", "is not a regular file; name a file"},
      {folder_ / "no" / "a",
       "there is no folder '" + (folder_ / "no").string() + "'; name a folder that exists"},
  };
  for (const Row& row : rows) {
    EXPECT_EQ(complaint(write_file(row.target, bytes_of("x")).diagnostics()), row.text);
  }
  EXPECT_EQ(count(), 2u);
  EXPECT_TRUE(fs::is_fifo(folder_ / "pipe"));
}

TEST_F(Files, LeaveNothingAsideWhenTheCommitFails) {
  {
    Result<FileAside> aside = FileAside::beside(folder_ / "song.mid");
    ASSERT_TRUE(aside);
    fs::create_directory(folder_ / "song.mid");  // meanwhile, somebody else
    const Result<Done> done = aside->commit();
    ASSERT_FALSE(done);
    EXPECT_EQ(done.diagnostics()[0].problem, "cannot be written (Is a directory)");
  }
  EXPECT_EQ(count(), 1u);
}

// As many as one run of the program has: its performances and the frames of each (24 of them).
TEST_F(Files, LeaveNothingAsideWhereASignalEndsTheProgram) {
  constexpr int kMany = 48;
  std::vector<FileAside> all;
  for (int i = 0; i < kMany; ++i) {
    Result<FileAside> aside = FileAside::beside(folder_ / (std::to_string(i) + ".flac"));
    ASSERT_TRUE(aside);
    all.push_back(*std::move(aside));
  }
  EXPECT_EQ(count(), static_cast<std::size_t>(kMany));
  remove_files_aside();
  EXPECT_EQ(count(), 0u);
}

// Of a process that was killed: one of ours that has ended and been waited for.
TEST_F(Files, LeftAsideByAProcessThatIsGoneAreRemoved) {
  const pid_t gone = ::fork();
  ASSERT_GE(gone, 0);
  if (gone == 0) ::_exit(0);
  ASSERT_EQ(::waitpid(gone, nullptr, 0), gone);
  put(".arsis-" + std::to_string(gone) + "-1.wav", "half");
  const Result<FileAside> living = FileAside::beside(folder_ / "a.wav");
  ASSERT_TRUE(living);
  for (const char* name : {".arsis-x-1.wav", ".arsis-0-1.wav", ".arsis--1-1", "arsis-1", "b.wav"}) {
    put(name, "");
  }
  ASSERT_EQ(count(), 7u);
  remove_left_aside(folder_);
  EXPECT_EQ(count(), 6u);
  EXPECT_TRUE(fs::exists(living->path()));
  remove_left_aside(folder_ / "none");
}

// Source: XDG Base Directory Specification 0.8: what is not absolute is ignored.
TEST(CacheFolder, IsThatOfTheEnvironment) {
  struct Row {
    const char* cache;
    const char* home;
    const char* folder;
  };
  const Row rows[] = {
      {"/c", "/h", "/c/arsis"},
      {"", "/h", "/h/.cache/arsis"},
      {"c", "/h", "/h/.cache/arsis"},
      {nullptr, "/h", "/h/.cache/arsis"},
      {nullptr, "h", ""},
      {nullptr, nullptr, ""},
      {"/c", nullptr, "/c/arsis"},
  };
  const auto set = [](const char* name, const char* value) {
    value == nullptr ? ::unsetenv(name) : ::setenv(name, value, 1);
  };
  const char* home = std::getenv("HOME");
  const char* cache = std::getenv("XDG_CACHE_HOME");
  const std::string home_before = home == nullptr ? "" : home;
  const std::string cache_before = cache == nullptr ? "" : cache;
  for (const Row& row : rows) {
    set("XDG_CACHE_HOME", row.cache);
    set("HOME", row.home);
    EXPECT_EQ(cache_folder(), row.folder);
  }
  set("HOME", home_before.empty() ? nullptr : home_before.c_str());
  set("XDG_CACHE_HOME", cache_before.empty() ? nullptr : cache_before.c_str());
}

}  // namespace
}  // namespace arsis
