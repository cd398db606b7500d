// What is kept of an unfinished set: read back as it was, and not at all where a byte is another.
#include "tool/lesson_folder.h"

#include <gtest/gtest.h>

#include "base/check_sum.h"

namespace arsis {
namespace {

constexpr std::uint64_t kSet = 0x0123'4567'89ab'cdefu;

LessonPart some_part() {
  LessonPart part;
  part.clip_sum = 77;
  part.frames = 48'000;
  part.sounds = {{'O', 'g', 'g', 'S'}, {}, {0, 255, 7}};
  return part;
}

TEST(LessonPart, IsReadAsItWasWritten) {
  const auto read = part_of_bytes(bytes_of_part(some_part(), kSet), kSet);
  ASSERT_TRUE(read);
  EXPECT_EQ(read->clip_sum, 77u);
  EXPECT_EQ(read->frames, 48'000u);
  EXPECT_EQ(read->sounds, some_part().sounds);
  EXPECT_TRUE(part_of_bytes(bytes_of_part({}, kSet), kSet));
}

TEST(LessonPart, IsNoneWhereItIsNotWholeOrOfAnotherSet) {
  const Bytes bytes = bytes_of_part(some_part(), kSet);
  EXPECT_FALSE(part_of_bytes(bytes, kSet + 1));
  EXPECT_FALSE(part_of_bytes({}, kSet));
  for (std::size_t size = 0; size < bytes.size(); ++size) {
    EXPECT_FALSE(part_of_bytes(std::span(bytes).first(size), kSet)) << size;
  }
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    Bytes other = bytes;
    other[i] ^= 0x80;
    EXPECT_FALSE(part_of_bytes(other, kSet)) << i;
  }
  Bytes longer = bytes;
  longer.push_back(0);
  EXPECT_FALSE(part_of_bytes(longer, kSet));
}

// Sizes that no memory has, with a sum that fits.
TEST(LessonPart, IsNoneWhereItPromisesMoreThanItHolds) {
  for (const std::size_t place : {44u, 52u}) {  // how many sounds; how long the first is
    Bytes bytes = bytes_of_part(some_part(), kSet);
    for (std::size_t i = 0; i < 8; ++i) bytes[place + i] = 0xff;
    const std::uint64_t sum = check_sum(std::span(bytes).first(bytes.size() - 8));
    for (std::size_t i = 0; i < 8; ++i) {
      bytes[bytes.size() - 8 + i] = static_cast<std::uint8_t>(sum >> (8 * i));
    }
    EXPECT_FALSE(part_of_bytes(bytes, kSet)) << place;
  }
}

// Source: the authors' test vectors (fnv_test of their reference code, from memory).
TEST(CheckSum, IsThatOfItsAuthors) {
  EXPECT_EQ(check_sum(std::string_view("")), 0xcbf29ce484222325u);
  EXPECT_EQ(check_sum(std::string_view("a")), 0xaf63dc4c8601ec8cu);
  EXPECT_EQ(check_sum(std::string_view("foobar")), 0x85944171f73967e8u);
  const Bytes bytes = {'b', 'a', 'r'};
  EXPECT_EQ(check_sum(bytes, check_sum(std::string_view("foo"))), 0x85944171f73967e8u);
}

}  // namespace
}  // namespace arsis
