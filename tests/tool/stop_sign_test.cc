#include "tool/stop_sign.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

RecordedMessage note(double at, int key, int velocity) {
  RecordedMessage made;
  made.at = {at};
  made.bytes = {0x90, static_cast<std::uint8_t>(key), static_cast<std::uint8_t>(velocity)};
  made.size = 3;
  return made;
}

bool is_given(const std::vector<RecordedMessage>& messages, double now) {
  StopSign sign;
  for (const RecordedMessage& message : messages) sign.hear(message);
  return sign.is_given({now});
}

TEST(StopSign, IsBothLowestKeysHeldForASecond) {
  const std::vector<RecordedMessage> both = {note(1.0, 21, 60), note(1.5, 22, 60)};
  EXPECT_FALSE(is_given(both, 2.4));  // since the second one
  EXPECT_TRUE(is_given(both, 2.5));
  EXPECT_FALSE(is_given({note(1.0, 21, 60)}, 9.0));
  EXPECT_FALSE(is_given({note(1.0, 22, 60), note(1.0, 23, 60)}, 9.0));
  EXPECT_FALSE(is_given({note(1.0, 21, 60), note(1.0, 22, 60), note(1.5, 21, 0)}, 9.0));
}

TEST(StopSign, IsNoPartOfTheTake) {
  const std::vector<RecordedMessage> messages = {note(0.0, 21, 50), note(0.5, 21, 0),
                                                 note(1.0, 60, 60), note(2.0, 22, 60),
                                                 note(2.1, 21, 60), note(2.2, 60, 0)};
  const std::vector<RecordedMessage> left = without_stop_sign(messages);
  ASSERT_EQ(left.size(), 4u);  // an earlier A0 belongs to the music
  EXPECT_EQ(left[0].bytes[1], 21);
  EXPECT_EQ(left[1].bytes[1], 21);
  EXPECT_EQ(left[2].bytes[1], 60);
  EXPECT_EQ(left[3].bytes[1], 60);
}

}  // namespace
}  // namespace arsis
