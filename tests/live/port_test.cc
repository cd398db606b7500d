// `play --port`: what arrives at an instrument, and what becomes of it when something ends early.
#include <gtest/gtest.h>
#include <signal.h>

#include <algorithm>
#include <utility>

#include "live/bench.h"

namespace arsis::test {
namespace {

using Bytes = std::vector<std::uint8_t>;

std::vector<Bytes> bytes_of_all(const std::vector<Heard>& heard) {
  std::vector<Bytes> all;
  for (const Heard& each : heard) all.push_back(each.bytes);
  return all;
}

std::vector<Bytes> bytes_of_all(const Rendition& rendition) {
  std::vector<Bytes> all;
  for (const TimedMessage& message : rendition.messages) {
    const auto bytes = bytes_of(message, rendition.score);
    all.emplace_back(bytes.begin(), bytes.end());
  }
  return all;
}

// How far notes come from their time; the first of all is set at the median of what they are late.
double median_off(const std::vector<Heard>& heard, const Rendition& rendition) {
  std::vector<double> late;
  for (std::size_t i = 0; i < rendition.messages.size(); ++i) {
    const std::chrono::duration<double> since = heard[i].at - heard[0].at;
    late.push_back(since.count() - rendition.messages[i].at.value);
  }
  return test::median_off(std::move(late));
}

TEST(PlayToAPort, ArrivesCompleteInOrderAndInTime) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--tempo", "200%"}));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<Heard> heard = receiver.all();
  PassageOptions passage;
  passage.tempo = "200%";
  const auto rendition = bench.rendition(passage);
  const std::vector<Bytes> wanted = bytes_of_all(*rendition);
  ASSERT_GE(heard.size(), wanted.size());
  std::vector<Bytes> played = bytes_of_all(heard);
  EXPECT_TRUE(std::all_of(heard.begin() + static_cast<std::ptrdiff_t>(wanted.size()), heard.end(),
                          [](const Heard& each) { return each.is_silence(); }));
  played.resize(wanted.size());
  EXPECT_EQ(played, wanted);
  EXPECT_EQ(ons_of(*rendition).size(), 96u);
  expect_silenced(heard);
  EXPECT_LT(median_off(heard, *rendition), 0.002);
  EXPECT_EQ(play.out(), "");
}

TEST(PlayToAPort, SetsProgramsAndControllersBeforeTheFirstNote) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--tempo", "400%", "--to", "2:1"}));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<Bytes> played = bytes_of_all(receiver.all());
  for (const std::uint8_t channel : {std::uint8_t{0}, std::uint8_t{1}}) {
    const auto note = std::ranges::find_if(
        played, [&](const Bytes& bytes) { return bytes[0] == (0x90 | channel); });
    const auto program = std::ranges::find_if(
        played, [&](const Bytes& bytes) { return bytes[0] == (0xC0 | channel); });
    ASSERT_NE(note, played.end());
    EXPECT_LT(program - played.begin(), note - played.begin());
  }
  EXPECT_NE(std::ranges::find(played, Bytes{0xB0, 7, 101}), played.end());
}

TEST(PlayToAPort, SilencesEveryNoteWhenASignalEndsIt) {
  for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
    SCOPED_TRACE(number);
    const Bench bench;
    const Receiver receiver(shared_server());
    // In bar 3 the pedal is down.
    Process play(bench.play(shared_server(), {"--port", "piano", "--from", "2:4", "--timings"}));
    ASSERT_TRUE(receiver.wait_for_ons(10));
    play.signal(number);
    EXPECT_EQ(play.wait(), -number);
    const std::vector<Heard> heard = receiver.all();
    EXPECT_EQ(std::ranges::count(heard, Bytes{0xB0, 64, 127}, &Heard::bytes), 1);
    EXPECT_LT(receiver.ons(), 60u);
    expect_silenced(heard);
    EXPECT_NE(play.out().find(" messages, first note "), std::string::npos) << play.out();
  }
}

TEST(PlayToAPort, EndsAtASignalWhileItStarts) {
  const Bench bench;
  const Receiver receiver(shared_server());
  for (const auto delay : {0ms, 5ms, 10ms, 20ms, 30ms, 40ms, 60ms, 80ms}) {
    Process play(bench.play(shared_server(), {"--port", "piano"}));
    std::this_thread::sleep_for(delay);
    play.signal(SIGINT);
    EXPECT_EQ(play.wait(), -SIGINT) << delay.count();
  }
  EXPECT_TRUE(sounding(receiver.all()).empty());
}

TEST(PlayToAPort, TellsThatThePortHasGone) {
  const Bench bench;
  Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--loop"}));
  ASSERT_TRUE(receiver.wait_for_ons(4));
  receiver.close();
  EXPECT_EQ(play.wait(10s), 3);
  EXPECT_NE(play.err().find("the MIDI port 'piano:keys' has gone; see that it is there, and begin "
                            "again"),
            std::string::npos)
      << play.err();
}

TEST(PlayToAPort, TellsThatTheServerHasGone) {
  const Bench bench;
  JackServer server;
  Receiver receiver(server);
  Process play(bench.play(server, {"--port", "piano", "--loop"}));
  ASSERT_TRUE(receiver.wait_for_ons(4));
  server.kill();
  EXPECT_EQ(play.wait(10s), 3);
  EXPECT_NE(play.err().find("the MIDI port 'piano:keys' has gone"), std::string::npos)
      << play.err();
}

TEST(PlayToAPort, TellsOfANameThatIsNotThere) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "organ"}));
  EXPECT_EQ(play.wait(), 3);
  EXPECT_TRUE(
      play.err().ends_with("there is no MIDI port 'organ'; 'arsis ports' lists those there are\n"))
      << play.err();
}

TEST(PlayToAPort, AsksForMoreOfANameThatSeveralHave) {
  const Bench bench;
  const Receiver left(shared_server(), "piano-left");
  const Receiver right(shared_server(), "piano-right");
  Process play(bench.play(shared_server(), {"--port", "Piano"}));
  EXPECT_EQ(play.wait(), 3);
  EXPECT_NE(play.err().find("'Piano' can be 2 MIDI ports, 'piano-left:keys' and "
                            "'piano-right:keys' among them; write more of the name"),
            std::string::npos)
      << play.err();
  Process exact(bench.play(shared_server(), {"--port", "piano-left:keys", "--to", "1:3"}));
  EXPECT_EQ(exact.wait(), 0);
  EXPECT_EQ(left.all().empty(), false);
  EXPECT_EQ(right.all().size(), 0u);
}

TEST(PlayToAPort, ListsThePortsThereAre) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process ports({.words = {program(), "ports"}, .environment = shared_server().environment()});
  EXPECT_EQ(ports.wait(), 0);
  EXPECT_NE(ports.out().find("JACK: ports to play to\n"), std::string::npos) << ports.out();
  EXPECT_NE(ports.out().find("  piano:keys\n"), std::string::npos) << ports.out();
  Process none({.words = {program(), "ports"},
                .environment = {"JACK_DEFAULT_SERVER=arsis-none", "JACK_NO_START_SERVER=1"}});
  EXPECT_NE(none.wait(), std::nullopt);
  EXPECT_NE(none.out().find("JACK: not usable: no JACK server is running\n"), std::string::npos)
      << none.out();
}

double seconds_between(const Heard& first, const Heard& second) {
  return std::chrono::duration<double>(second.at - first.at).count();
}

TEST(PlayToAPort, LoopsWithABreathAndCountsInOnlyOnce) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--from", "4:1", "--to", "5:1",
                                            "--loop", "--count-in", "1"}));
  // Four beats counted in, and two rounds and a bit of eight eighths and four quarters.
  ASSERT_TRUE(receiver.wait_for_ons(4 + 2 * 12 + 3));
  play.signal(SIGINT);
  EXPECT_EQ(play.wait(), -SIGINT);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  EXPECT_EQ(notes_on(heard, 9).size(), 4u);
  const std::vector<Heard> left = notes_on(heard, 1);
  ASSERT_GE(left.size(), 9u);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_EQ(left[i].bytes, left[i + 4].bytes);
  // A bar of a second, and a beat's breath of a quarter of a second; shaped, so not to the letter.
  EXPECT_NEAR(seconds_between(left[0], left[4]), 1.25, 0.15);
  EXPECT_NEAR(seconds_between(left[4], left[8]), seconds_between(left[0], left[4]), 0.05);
  // What the second round begins with is what the first began with: program, controllers, pedal.
  const std::vector<Bytes> all = bytes_of_all(heard);
  const auto second =
      all.begin() +
      std::distance(heard.begin(), std::ranges::find_if(heard, [&](const Heard& each) {
                      return each.is_on() && each.at >= left[4].at;
                    }));
  for (const Bytes& state : {Bytes{0xC0, 6}, Bytes{0xB0, 7, 101}, Bytes{0xB0, 11, 64},
                             Bytes{0xB0, 64, 127}, Bytes{0xC1, 5}}) {
    EXPECT_EQ(std::count(all.begin(), second, state), 2) << int{state[0]} << " " << int{state[1]};
  }
}

TEST(PlayToAPort, ChasesWhatAPassageInTheMiddleNeeds) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--from", "4:1", "--to", "4:3"}));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<Heard> heard = receiver.all();
  const std::vector<Bytes> all = bytes_of_all(heard);
  const auto first =
      all.begin() + std::distance(heard.begin(), std::ranges::find_if(heard, &Heard::is_on));
  std::vector<Bytes> before(all.begin(), first);
  for (const Bytes& state : {Bytes{0xC0, 6}, Bytes{0xB0, 7, 101}, Bytes{0xB0, 11, 64},
                             Bytes{0xB0, 64, 127}, Bytes{0xC1, 5}, Bytes{0xB1, 7, 80}}) {
    EXPECT_EQ(std::ranges::count(before, state), 1) << int{state[0]} << " " << int{state[1]};
  }
  EXPECT_EQ(std::ranges::count(before, Bytes{0xC0, 4}), 0);
  EXPECT_EQ(notes_on(heard, 0).size(), 4u);
  EXPECT_EQ(notes_on(heard, 1).size(), 2u);
  expect_silenced(heard);
}

TEST(PlayToAPort, LeavesOutMutedParts) {
  struct Row {
    std::vector<std::string> words;
    std::size_t right, left;
  };
  const Bench bench;
  for (const Row& row :
       {Row{{"--mute", "right hand"}, 0, 4}, Row{{"--part", "right hand"}, 8, 0}}) {
    SCOPED_TRACE(row.words[0]);
    const Receiver receiver(shared_server());
    std::vector<std::string> words = {"--port", "piano", "--to", "2:1"};
    words.insert(words.end(), row.words.begin(), row.words.end());
    Process play(bench.play(shared_server(), words));
    EXPECT_EQ(play.wait(), 0) << play.err();
    const std::vector<Heard> heard = receiver.all();
    EXPECT_EQ(notes_on(heard, 0).size(), row.right);
    EXPECT_EQ(notes_on(heard, 1).size(), row.left);
  }
}

TEST(PlayToAPort, ClicksOnTheBeatsAsThePerformanceBendsThem) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--to", "5:1", "--click",
                                            "--count-in", "1", "--amount", "200%"}));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<Heard> heard = receiver.all();
  const std::vector<Heard> clicks = notes_on(heard, 9);
  ASSERT_EQ(clicks.size(), 20u);
  for (std::size_t i = 0; i < clicks.size(); ++i) {
    EXPECT_EQ(clicks[i].bytes[1], i % 4 == 0 ? 76 : 77) << i;
  }
  // Each where the performance has its beat: the excerpt begins with the counted bar.
  PassageOptions passage;
  passage.to = "5:1";
  passage.count_in = "1";
  passage.click = true;
  LayerOptions layers;
  layers.amount = "200%";
  const auto rendition = bench.rendition(passage, layers);
  std::vector<double> off;
  std::vector<double> beats;
  for (std::size_t i = 0; i < clicks.size(); ++i) {
    const double due = rendition->performance.time.seconds_at({static_cast<double>(i)}).value;
    off.push_back(std::abs(seconds_between(clicks[0], clicks[i]) - due +
                           rendition->performance.time.seconds_at({0.0}).value));
    if (i > 4) beats.push_back(seconds_between(clicks[i - 1], clicks[i]));
  }
  std::ranges::sort(off);
  EXPECT_LT(off[off.size() / 2], 0.005);
  // They bend: an even metronome's would all be a quarter of a second.
  EXPECT_GT(std::ranges::max(beats) - std::ranges::min(beats), 0.01);
}

}  // namespace
}  // namespace arsis::test
