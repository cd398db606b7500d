// Frames kept in memory and beyond it.
#include "sound/frame_store.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "sound/full_disk.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::FullDisk;

// Adds `count` samples 0, 1, 2 ... in blocks of 128; the message where that fails.
std::string fill(FrameStore& store, int count) {
  std::vector<float> block;
  for (int i = 0; i < count; ++i) {
    block.push_back(static_cast<float>(i));
    if (block.size() < 128 && i + 1 < count) continue;
    if (const Result<Done> added = store.add(block); !added) {
      return to_string(added.diagnostics()[0]);
    }
    block.clear();
  }
  return "";
}

std::vector<float> all_of(FrameStore& store) {
  std::vector<float> all;
  EXPECT_TRUE(store.each([&](std::span<float> samples) -> Result<Done> {
    all.insert(all.end(), samples.begin(), samples.end());
    for (float& sample : samples) sample = -1.0F;  // must not be kept
    return Done{};
  }));
  return all;
}

TEST(FrameStore, HandsOverInOrderWhatItGot) {
  for (const std::size_t in_memory : {std::size_t{0}, std::size_t{1000}, std::size_t{50'000}}) {
    SCOPED_TRACE(in_memory);
    const Folder folder;
    FrameStore store(folder.path() / "x.wav", in_memory);
    ASSERT_EQ(fill(store, 40'001), "");
    std::vector<float> expected;
    for (int i = 0; i < 40'001; ++i) expected.push_back(static_cast<float>(i));
    EXPECT_EQ(store.size(), 40'001u);
    EXPECT_EQ(store.peak(), 40'000.0F);
    EXPECT_EQ(all_of(store), expected);
    EXPECT_EQ(all_of(store), expected);  // and again
    EXPECT_EQ(folder.files().size(), in_memory == 50'000 ? 0u : 1u);
  }
}

TEST(FrameStore, TakesItsFileAway) {
  const Folder folder;
  {
    FrameStore store(folder.path() / "x.wav", 0);
    ASSERT_EQ(fill(store, 1000), "");
    EXPECT_EQ(folder.files().size(), 1u);
  }
  EXPECT_TRUE(folder.files().empty());
}

TEST(FrameStore, StopsWhereTheTakerFails) {
  const Folder folder;
  FrameStore store(folder.path() / "x.wav", 1000);
  ASSERT_EQ(fill(store, 40'000), "");
  int calls = 0;
  const Result<Done> taken = store.each([&](std::span<float>) -> Result<Done> {
    if (++calls < 3) return Done{};
    return fail({}, "enough");
  });
  ASSERT_FALSE(taken);
  EXPECT_EQ(to_string(taken.diagnostics()[0]), "enough");
  EXPECT_EQ(calls, 3);
}

TEST(FrameStore, SaysSoWhereThereIsNoRoom) {
  const Folder folder;
  const std::string expected = (folder.path() / "x.wav").string() +
                               ": there is no room beside it for a temporary file (File too "
                               "large); free some space, or write to another disk";
  FrameStore large(folder.path() / "x.wav", 0);
  FrameStore small(folder.path() / "x.wav", 0);
  std::string message;
  Result<Done> taken = Done{};
  {
    const FullDisk full(100);
    message = fill(large, 100'000);
    // So little that only handing over finds it.
    EXPECT_EQ(fill(small, 200), "");
    taken = small.each([](std::span<float>) -> Result<Done> { return Done{}; });
  }
  EXPECT_EQ(message, expected);
  ASSERT_FALSE(taken);
  EXPECT_EQ(to_string(taken.diagnostics()[0]), expected);
}

}  // namespace
}  // namespace arsis
