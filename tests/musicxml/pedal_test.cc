// The pedal of a page, as controllers of the score.
// Source of what the elements mean: W3C MusicXML 4.0, the reference of `pedal` and `sound`.
#include <gtest/gtest.h>

#include "musicxml/score_text.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

std::string direction(const std::string& type) {
  return "<direction><direction-type>" + type + "</direction-type></direction>\n";
}
std::string hands(const std::string& more) {
  return attributes(1, time(4, 4) + "<staves>2</staves>") + more +
         n("C5", 4, "", "<staff>1</staff>") + backup(4) + n("C3", 4, "", "<staff>2</staff>");
}

TEST(PrintedPedal, PressesThePedalOnEveryStaff) {
  const std::string body =
      hands(direction("<pedal type='start'/>")) + direction("<pedal type='change'/>");
  const Result<PrintedScore> read =
      played_of(score_text({body, "<sound damper-pedal='no'/>" + n("C5", 4), n("C5", 4)}));
  ASSERT_TRUE(read);
  std::string text;
  for (const Message& each : read->score.messages) {
    const auto bytes = read->score.bytes_of(each);
    if (bytes[0] == 0xFF) continue;  // names, signatures
    text += fmt::format("{:g}:{:02X} {} {} ", each.at.value, bytes[0], bytes[1], bytes[2]);
  }
  // The change stands at the cursor's end, the pedal's end in the bar after.
  EXPECT_EQ(text,
            "0:B0 64 127 0:B1 64 127 4:B0 64 0 4:B1 64 0 4:B0 64 127 4:B1 64 127 4:B0 64 0 "
            "4:B1 64 0 ");
}

TEST(PrintedPedal, ChangesThePedalWhereItIsPressedAgain) {
  const std::string start = direction("<pedal type='start'/>");
  const Result<PrintedScore> read =
      played_of(score_text({kFour + start + n("C5", 2) + start + n("C5", 2)}));
  ASSERT_TRUE(read);
  std::string text;
  for (const Message& each : read->score.messages) {
    const auto bytes = read->score.bytes_of(each);
    if (bytes[0] == 0xB0) text += fmt::format("{:g}:{} ", each.at.value, bytes[2]);
  }
  EXPECT_EQ(text, "0:127 2:0 2:127 4:0 ");
}

TEST(PrintedPedal, LetsGoOfThePedalAtTheEnd) {
  const Result<PrintedScore> read =
      played_of(score_text({kFour + direction("<pedal type='start'/>") + kBar}));
  ASSERT_TRUE(read);
  const auto last = read->score.bytes_of(read->score.messages.back());
  EXPECT_EQ(std::vector(last.begin(), last.end()), (std::vector<std::uint8_t>{0xB0, 64, 0}));
  EXPECT_EQ(read->score.messages.back().at, Beats{4.0});
}

}  // namespace
}  // namespace arsis
