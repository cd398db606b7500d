// What a score has set before its middle.
#include "score/chase.h"

#include <gtest/gtest.h>

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "message_builder.h"
#include "property.h"

namespace arsis {
namespace {

using Bytes = std::vector<std::uint8_t>;

// "B0 07 5A; C0 05": messages.
std::vector<Bytes> messages_of(std::string_view text) {
  std::vector<Bytes> messages;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(';'), text.size());
    Bytes& bytes = messages.emplace_back();
    for (std::size_t at = 0; at < end; ++at) {
      if (text[at] == ' ') continue;
      bytes.push_back(
          static_cast<std::uint8_t>(std::stoi(std::string(text.substr(at, 2)), {}, 16)));
      ++at;
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return messages;
}

// One message a beat, from beat 0.
Score opening(const std::vector<Bytes>& messages) {
  Score score;
  score.tracks.push_back({"", {1000.0}});
  for (std::size_t i = 0; i < messages.size(); ++i) {
    test::add_message(score, static_cast<double>(i), 0, messages[i]);
  }
  return score;
}

std::vector<Bytes> chased_bytes(const Score& score, double moment) {
  std::vector<Bytes> all;
  for (const ChasedMessage& chased : chased(score, {moment})) {
    const auto bytes = chased.size == 0 ? score.bytes_of(score.messages[chased.message])
                                        : std::span(chased.bytes).first(chased.size);
    all.emplace_back(bytes.begin(), bytes.end());
  }
  return all;
}

std::string text_of(const std::vector<Bytes>& messages) {
  std::string text;
  for (const Bytes& bytes : messages) text += (text.empty() ? "" : "; ") + test::hex_text(bytes);
  return text;
}

struct ChaseRow {
  const char* name;
  const char* opening;
  const char* restored;
};

// MIDI 1.0 Detailed Specification 4.2: bank select 0 and 32 before a program, registered
// parameters 101 and 100 with data entry 6 and 38, 127 for none. Reset All Controllers: RP-015.
constexpr ChaseRow kChased[] = {
    {"nothing", "", ""},
    {"a program", "C3 05", "C3 05"},
    {"the last of two programs", "C3 05; C3 06", "C3 06"},
    {"a program in its bank", "B0 00 01; B0 20 02; C0 05", "B0 00 01; B0 20 02; C0 05"},
    {"a program that had no bank", "C0 05; B0 00 01", "C0 05; B0 00 01"},
    {"a bank for the next program", "B0 00 01; C0 05; B0 00 03; B0 20 04",
     "B0 00 01; C0 05; B0 00 03; B0 20 04"},
    {"a bank alone", "B0 00 01", "B0 00 01"},
    {"controllers by number, each as last set", "B0 40 7F; B0 07 64; B0 40 00; B0 0A 20",
     "B0 07 64; B0 0A 20; B0 40 00"},
    {"channels apart", "B1 07 10; B0 07 20; C1 01", "B0 07 20; C1 01; B1 07 10"},
    {"a bend range", "B0 65 00; B0 64 00; B0 06 0C; B0 26 00; E0 00 50",
     "B0 65 00; B0 64 00; B0 06 0C; B0 26 00; B0 65 00; B0 64 00; E0 00 50"},
    {"a parameter put away", "B0 65 00; B0 64 01; B0 06 41; B0 65 7F; B0 64 7F",
     "B0 65 00; B0 64 01; B0 06 41; B0 65 7F; B0 64 7F"},
    {"data for no parameter", "B0 06 11; B0 65 7F; B0 64 7F; B0 06 0C", ""},
    {"a parameter that waits for its data", "B0 65 00; B0 64 02", "B0 65 00; B0 64 02"},
    {"a non-registered parameter", "B0 63 01; B0 62 20; B0 06 33",
     "B0 63 01; B0 62 20; B0 06 33; B0 63 01; B0 62 20"},
    {"two parameters, and the first again",
     "B0 65 00; B0 64 00; B0 06 02; B0 64 01; B0 06 40; B0 64 00; B0 26 09",
     "B0 65 00; B0 64 00; B0 06 02; B0 26 09; B0 65 00; B0 64 01; B0 06 40; B0 65 00; B0 64 00"},
    {"what a reset sets back",
     "B0 01 10; B0 0B 20; B0 40 7F; B0 41 7F; B0 42 7F; B0 43 7F; "
     "E0 00 50; D0 30; B0 79 00",
     ""},
    {"what a reset leaves", "B0 00 01; C0 05; B0 07 64; B0 0A 20; B0 5B 28; B0 47 11; B0 79 00",
     "B0 00 01; C0 05; B0 07 64; B0 0A 20; B0 47 11; B0 5B 28"},
    {"parameters after a reset, none of them chosen", "B0 65 00; B0 64 00; B0 06 0C; B0 79 00",
     "B0 65 00; B0 64 00; B0 06 0C; B0 65 7F; B0 64 7F"},
    {"a bend and a pressure", "E2 01 02; D2 11; E2 03 04; D2 12", "E2 03 04; D2 12"},
    {"nothing of keys and modes", "A0 3C 40; B0 78 00; B0 7B 00; B0 7E 01", ""},
    {"General MIDI on: all before it is gone",
     "B0 07 11; C0 05; F0 7D 01 F7; F0 7E 7F 09 01 F7; C1 06", "F0 7E 7F 09 01 F7; C1 06"},
    {"General MIDI 2 on", "E0 11 11; F0 7E 00 09 03 F7", "F0 7E 00 09 03 F7"},
    {"General MIDI off is an exclusive like others", "C0 05; F0 7E 7F 09 02 F7",
     "F0 7E 7F 09 02 F7; C0 05"},
    {"exclusives in their order, before the channels", "F0 7D 02 F7; C0 01; F0 7D 01 F7",
     "F0 7D 02 F7; F0 7D 01 F7; C0 01"},
    {"names and the last key signature",
     "FF 59 01 00; FF 03 41; FF 02 42; FF 04 43; FF 09 44; FF 21 00; FF 59 02 00",
     "FF 03 41; FF 02 42; FF 04 43; FF 09 44; FF 21 00; FF 59 02 00"},
    {"no words, no markers, no time signatures",
     "FF 01 41; FF 05 42; FF 06 43; FF 07 44; FF 58 03 02 18 08; F7 41", ""},
    {"broken messages of a broken file", "B0 07; B0; C0; FF; F0", "F0"},
};

TEST(Chase, RestoresWhatTheOpeningHasSet) {
  for (const ChaseRow& row : kChased) {
    SCOPED_TRACE(row.name);
    EXPECT_EQ(text_of(chased_bytes(opening(messages_of(row.opening)), 1000.0)), row.restored);
  }
}

TEST(Chase, StopsBeforeTheMomentItself) {
  const Score score = opening(messages_of("C0 01; C0 02; C0 03"));
  EXPECT_EQ(text_of(chased_bytes(score, 0.0)), "");
  EXPECT_EQ(text_of(chased_bytes(score, 1.0)), "C0 01");
  EXPECT_EQ(text_of(chased_bytes(score, 1.001)), "C0 02");
}

TEST(Chase, KeepsEachMessageInItsTrack) {
  Score score;
  score.tracks.resize(3);
  test::add_message(score, 0.0, 1, {0xC0, 5});
  test::add_message(score, 1.0, 2, {0xB0, 101, 0});
  test::add_message(score, 1.0, 2, {0xB0, 100, 0});
  test::add_message(score, 1.0, 2, {0xB0, 6, 12});
  std::string tracks;
  for (const ChasedMessage& chased : chased(score, {2.0})) tracks += std::to_string(chased.track);
  EXPECT_EQ(tracks, "122222");
}

// A receiver of its own, as plain as the standard has it: what was sent is what is set.
struct Receiver {
  struct Channel {
    std::map<int, int> controllers;
    std::optional<std::tuple<int, int, int>> program;  // banks and number
    int kind = 0;                                      // of the parameter chosen
    int coarse = 127;
    int fine = 127;
    std::map<std::array<int, 4>, int> data;  // by kind, number, and coarse or fine
    int bend = 64 * 128;
    int pressure = 0;

    int value(int controller) const {
      const auto found = controllers.find(controller);
      return found == controllers.end() ? -1 : found->second;
    }
    bool chosen() const { return kind != 0 && !(coarse == 127 && fine == 127); }
    void control(int number, int value) {
      if (number == 6 || number == 38) {
        if (chosen()) data[{kind, coarse, fine, number}] = value;
      } else if (number >= 98 && number <= 101) {
        kind = number <= 99 ? 99 : 101;
        (number % 2 == 1 ? coarse : fine) = value;
      } else if (number == 121) {
        for (const int reset : {1, 11, 64, 65, 66, 67}) controllers.erase(reset);
        bend = 64 * 128;
        pressure = 0;
        kind = 0;
        coarse = fine = 127;
      } else if (number < 120) {
        controllers[number] = value;
      }
    }
    auto state() const {
      return std::tuple(controllers, program, data, bend, pressure, chosen() ? kind : 0,
                        chosen() ? coarse : 127, chosen() ? fine : 127);
    }
  };
  std::array<Channel, 16> channels;
  std::vector<Bytes> exclusives;

  void receive(const Bytes& bytes) {
    if (bytes[0] == 0xF0) {
      if (bytes == Bytes{0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7}) *this = {};
      exclusives.push_back(bytes);
      return;
    }
    Channel& channel = channels[bytes[0] & 0x0F];
    switch (bytes[0] >> 4) {
      case 0xB:
        return channel.control(bytes[1], bytes[2]);
      case 0xC:
        channel.program = {channel.value(0), channel.value(32), bytes[1]};
        return;
      case 0xD:
        channel.pressure = bytes[1];
        return;
      case 0xE:
        channel.bend = bytes[1] + 128 * bytes[2];
        return;
      default:
        return;
    }
  }
};

Bytes random_message() {
  const auto channel = static_cast<std::uint8_t>(*rc::gen::element(0, 0, 0, 9));
  const auto data = [] { return static_cast<std::uint8_t>(*rc::gen::element(0, 1, 2, 64, 127)); };
  const auto status = [&](int kind) { return static_cast<std::uint8_t>(kind * 16 + channel); };
  switch (*rc::gen::inRange(0, 18)) {
    case 0:
      return {status(0xC), data()};
    case 1:
      return {status(0xD), data()};
    case 2:
      return {status(0xE), data(), data()};
    case 3:
      return {0xF0, 0x7D, data(), 0xF7};
    case 4:
      if (*rc::gen::inRange(0, 8) == 0) return {0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7};
      return {status(0xA), data(), data()};
    case 5:
    case 6:
    case 7:
    case 8:
      return {status(0xB), static_cast<std::uint8_t>(*rc::gen::element(98, 99, 100, 101)), data()};
    case 9:
    case 10:
      return {status(0xB), static_cast<std::uint8_t>(*rc::gen::element(6, 38)), data()};
    case 11:
    case 12:
      return {status(0xB), static_cast<std::uint8_t>(*rc::gen::element(0, 32)), data()};
    default:
      return {status(0xB),
              static_cast<std::uint8_t>(*rc::gen::element(1, 7, 11, 64, 66, 67, 91, 121, 123)),
              data()};
  }
}

TEST(Chase, LeavesEveryReceiverAsTheWholeOpeningWould) {
  EXPECT_TRUE(test::holds(5'000, [] {
    std::vector<Bytes> messages;
    for (int i = *rc::gen::inRange(0, 60); i > 0; --i) messages.push_back(random_message());
    Receiver all;
    for (const Bytes& message : messages) all.receive(message);
    Receiver chased;
    for (const Bytes& message : chased_bytes(opening(messages), 1000.0)) chased.receive(message);
    RC_ASSERT(chased.exclusives == all.exclusives);
    for (std::size_t i = 0; i < 16; ++i) {
      RC_ASSERT(chased.channels[i].state() == all.channels[i].state());
    }
  }));
}

}  // namespace
}  // namespace arsis
