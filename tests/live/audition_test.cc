// `audition` played now: the keys, what is heard, the blind test, and the plan in which a reading
// is kept.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "live/bench.h"
#include "live/screen.h"
#include "sound/loudness.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"

namespace arsis::test {
namespace {

constexpr std::size_t kOnsOfAll = 24;  // of phrase 1.1, both hands
constexpr std::size_t kOnsOfRight = 16;

struct AuditionBench : Bench {
  AuditionBench() {
    plan = read("plan.yaml");
    own = velocities();
    write("plan.yaml", with_first_motif_leading());
    other = velocities();
    write("plan.yaml", plan);
    write_soundfont(path() / "sine.sf2", Wave::kSine);
  }
  std::string with_first_motif_leading() const {
    std::string text = plan;
    return text.replace(text.find("u /"), 3, "/ u");
  }
  Command audition(std::vector<std::string> words, int columns = 100) const {
    words.insert(words.begin(), {"--phrase", "1.1"});
    return run("audition", shared_server(), std::move(words), columns);
  }
  // Of the right hand in phrase 1.1.
  std::vector<int> velocities() const {
    PassageOptions passage;
    passage.phrase = "1.1";
    std::vector<int> all;
    for (const TimedMessage& on : ons_of(*rendition(passage))) {
      if ((on.bytes[0] & 0x0F) == 0) all.push_back(on.bytes[2]);
    }
    return all;
  }

  std::string plan;
  std::vector<int> own;    // motif 2 leads
  std::vector<int> other;  // motif 1 leads
};

// Of the right hand, some notes from the one with that number on.
std::vector<int> velocities_of(const std::vector<Heard>& heard, std::size_t from,
                               std::size_t count = kOnsOfRight) {
  std::vector<int> all;
  const std::vector<Heard> right = notes_on(heard, 0);
  for (std::size_t i = from; i < std::min(from + count, right.size()); ++i) {
    all.push_back(right[i].bytes[2]);
  }
  return all;
}

TEST(Audition, PlaysAllReadingsOnceWhereNobodyIsAtTheKeys) {
  const AuditionBench bench;
  ASSERT_NE(bench.own, bench.other);
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano", "--tempo", "200%"}, 0));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  EXPECT_EQ(receiver.ons(), 2 * kOnsOfAll);
  EXPECT_EQ(velocities_of(heard, 0), bench.own);
  EXPECT_EQ(velocities_of(heard, kOnsOfRight), bench.other);
  EXPECT_NE(play.err().find("   1  motif 2 leads (yours): "), std::string::npos) << play.err();
  EXPECT_NE(play.err().find("warning: the readings are not matched in loudness: a port's "
                            "instrument is not heard here; judge the shape, not the volume\n"),
            std::string::npos);
}

TEST(Audition, GoesToAReadingAndBeginsItAnew) {
  const AuditionBench bench;
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano"}));
  ASSERT_TRUE(receiver.wait_for_ons(8));
  play.type("2");
  ASSERT_TRUE(shows(play, "2 of 2  motif 1 leads  1:"));
  ASSERT_TRUE(shows(play, "2 of 2  motif 1 leads  2:"));
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  // The second from its beginning, after what was heard of the first.
  const std::vector<int> all = velocities_of(heard, 0, 100);
  const auto begun =
      std::search(all.begin(), all.end(), bench.other.begin(), bench.other.begin() + 8);
  ASSERT_NE(begun, all.end());
  const auto before = static_cast<std::size_t>(begun - all.begin());
  EXPECT_GE(before, 4u);
  EXPECT_LT(before, kOnsOfRight);
  EXPECT_TRUE(std::equal(all.begin(), begun, bench.own.begin()));
}

TEST(Audition, ChangesTheReadingHereAndLosesNoNote) {
  const AuditionBench bench;
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano"}));
  ASSERT_TRUE(receiver.wait_for_ons(10));
  play.type("h");
  ASSERT_TRUE(shows(play, "2 of 2  motif 1 leads  2:"));
  ASSERT_TRUE(receiver.wait_for_ons(kOnsOfAll));
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  EXPECT_EQ(receiver.ons(), kOnsOfAll);
  const std::vector<int> all = velocities_of(heard, 0);
  EXPECT_TRUE(std::equal(all.begin(), all.begin() + 4, bench.own.begin()));
  EXPECT_TRUE(std::equal(all.end() - 6, all.end(), bench.other.end() - 6));
}

TEST(Audition, TurnsAroundOrRepeatsOne) {
  const AuditionBench bench;
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano", "--tempo", "300%"}));
  ASSERT_TRUE(shows(play, "1 of 2"));
  ASSERT_TRUE(shows(play, "2 of 2"));
  ASSERT_TRUE(shows(play, "1 of 2"));
  play.type("\x1b[Dr");
  ASSERT_TRUE(shows(play, "2 of 2"));
  ASSERT_TRUE(shows(play, "again and again"));
  const std::size_t before = receiver.ons();
  ASSERT_TRUE(receiver.wait_for_ons(before + 2 * kOnsOfAll));
  play.type(" ");
  ASSERT_TRUE(shows(play, "paused  again and again"));
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  expect_silenced(receiver.all());
  const std::vector<int> last = velocities_of(receiver.heard(), 0, 1000);
  EXPECT_NE(
      std::search(last.end() - 3 * kOnsOfRight, last.end(), bench.other.begin(), bench.other.end()),
      last.end());
  EXPECT_EQ(
      std::search(last.end() - 3 * kOnsOfRight, last.end(), bench.own.begin(), bench.own.end()),
      last.end());
}

TEST(Audition, KeepsAReadingInThePlanAndChangesNothingElse) {
  const AuditionBench bench;
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano"}));
  ASSERT_TRUE(receiver.wait_for_ons(2));
  play.type("k");
  ASSERT_TRUE(wait_until(
      [&] { return play.screen().find("the plan says so already") != std::string::npos; }));
  EXPECT_EQ(bench.read("plan.yaml"), bench.plan);
  play.type("nk");
  ASSERT_TRUE(shows(play, "2 of 2  motif 1 leads (as in the plan)"));
  EXPECT_NE(play.screen().find("plan.yaml:8: phrase 1.1: motif 1 leads, from now on"),
            std::string::npos)
      << play.screen();
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  EXPECT_EQ(bench.read("plan.yaml"), bench.with_first_motif_leading());
}

TEST(Audition, KeepsNothingWithoutAPlanOrOfTwo) {
  const AuditionBench bench;
  bench.write("other.yaml", bench.with_first_motif_leading());
  struct Row {
    std::vector<std::string> words;
    const char* said;
  };
  for (const auto& [words, said] :
       {Row{{"audition", "piece.mid", "--sentence", "1"},
            "there is no plan to keep it in: `arsis draft` writes one"},
        Row{{"audition", "plan.yaml", "--against", "other.yaml"},
            "two plans are compared: keep the one that you like by its name"}}) {
    const Receiver receiver(shared_server());
    Command command = bench.audition({}, 100);
    command.words = words;
    command.words.insert(command.words.begin(), program());
    command.words.insert(command.words.end(), {"--port", "piano"});
    const std::vector<std::string> before = bench.files();
    Process play(command);
    ASSERT_TRUE(receiver.wait_for_ons(2)) << play.screen();
    play.type("2k");
    EXPECT_TRUE(wait_until([&] { return play.screen().find(said) != std::string::npos; }))
        << play.screen();
    play.type("q");
    EXPECT_EQ(play.wait(), 0);
    EXPECT_EQ(bench.files(), before);
    EXPECT_EQ(bench.read("plan.yaml"), bench.plan);
  }
}

// The loudness of each part of the file, by libebur128; each with half a second of the silence that
// follows it, since a block that is partly silent counts for less.
std::vector<double> loudness_of_parts(const Recording& sound) {
  const auto half_a_second = static_cast<std::size_t>(sound.rate) / 2;
  std::vector<double> all;
  std::vector<float> part;
  std::size_t quiet = half_a_second;
  for (std::size_t i = 0; i < sound.left.size() + half_a_second; ++i) {
    const bool beyond = i >= sound.left.size();
    const float left = beyond ? 0.0F : sound.left[i];
    quiet = std::abs(left) < 1e-5F ? quiet + 1 : 0;
    if (quiet <= half_a_second) {
      part.insert(part.end(), {left, beyond ? 0.0F : sound.right[i]});
    } else if (!part.empty()) {
      LoudnessMeter meter(sound.rate);
      meter.add(part);
      all.push_back(meter.loudness().value_or(Lufs{-200.0}).value);
      part.clear();
    }
  }
  return all;
}

TEST(Audition, IsEquallyLoudThroughASynthesizer) {
  const AuditionBench bench;
  Process play(bench.audition({"--driver", "file=all.wav", "--soundfont", "sine.sf2", "--reverb",
                               "off", "--amount", "200%", "--tempo", "200%"},
                              0));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<double> parts = loudness_of_parts(read_recording(bench.path() / "all.wav"));
  ASSERT_EQ(parts.size(), 2u);
  EXPECT_NEAR(parts[0], parts[1], 0.1);
  EXPECT_EQ(play.err().find("not matched"), std::string::npos) << play.err();
}

TEST(BlindTest, CountsWhatIsHeardRightly) {
  const AuditionBench bench;
  int own_first_count = 0;
  for (const char* order : {"1", "2"}) {
    for (const bool first : {true, false}) {
      const Receiver receiver(shared_server());
      Command command = bench.audition(
          {"--port", "piano", "--tempo", "400%", "--blind", "1", "--order", order}, 0);
      command.input = first ? "1\n" : "what?\n2\n";
      Process play(command);
      EXPECT_EQ(play.wait(), 0) << play.err();
      const std::vector<Heard> heard = receiver.all();
      expect_silenced(heard);
      ASSERT_EQ(receiver.ons(), 2 * kOnsOfAll);
      const bool own_first = velocities_of(heard, 0) == bench.own;
      own_first_count += own_first ? 1 : 0;
      EXPECT_EQ(velocities_of(heard, 0), own_first ? bench.own : bench.other);
      EXPECT_EQ(velocities_of(heard, kOnsOfRight), own_first ? bench.other : bench.own);
      const std::string right = own_first == first ? "1 of 1 right: " : "0 of 1 right: ";
      EXPECT_TRUE(play.out().starts_with(right)) << play.out();
      EXPECT_NE(play.err().find("1 of 1  phrase 1.1: in which does motif 2 lead, 1 or 2?\n"),
                std::string::npos)
          << play.err();
    }
  }
  EXPECT_EQ(own_first_count, 2);  // both orders have been heard
}

TEST(BlindTest, TakesAnswersAtTheKeysAndTellsAnEarlyEnd) {
  const AuditionBench bench;
  const Receiver receiver(shared_server());
  Process play(bench.audition({"--port", "piano", "--tempo", "300%", "--blind", "12"}));
  ASSERT_TRUE(shows(play, "1 of 12  phrase 1.1  the first sounds"));
  play.type("1");  // too early to be an answer
  ASSERT_TRUE(shows(play, "1 of 12  phrase 1.1  in which does motif 2 lead, 1 or 2?"));
  play.type("r");
  ASSERT_TRUE(shows(play, "1 of 12  phrase 1.1  the first sounds"));
  ASSERT_TRUE(shows(play, "1 of 12  phrase 1.1  in which does motif 2 lead, 1 or 2?"));
  play.type("2");
  ASSERT_TRUE(shows(play, "2 of 12  phrase 1.1  the first sounds"));
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  expect_silenced(receiver.all());
  EXPECT_NE(play.screen().find("left off after 1 of 12: "), std::string::npos) << play.screen();
}

TEST(BlindTest, NeedsADevice) {
  const AuditionBench bench;
  Command command = bench.audition({"--blind", "1", "--port", "no such port"}, 0);
  Process play(command);
  EXPECT_EQ(play.wait(), 3);
  EXPECT_EQ(play.out(), "");
}

}  // namespace
}  // namespace arsis::test
