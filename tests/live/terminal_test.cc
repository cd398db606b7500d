// `play` on a terminal: the status line, the keys, and how the terminal is left.
#include <gtest/gtest.h>
#include <signal.h>

#include <algorithm>
#include <map>
#include <regex>
#include <set>

#include "live/bench.h"
#include "live/screen.h"

namespace arsis::test {
namespace {

constexpr const char* kLeft = "\x1b[D";
constexpr const char* kRight = "\x1b[C";

bool same(const termios& a, const termios& b) {
  return a.c_iflag == b.c_iflag && a.c_oflag == b.c_oflag && a.c_cflag == b.c_cflag &&
         a.c_lflag == b.c_lflag && std::ranges::equal(a.c_cc, b.c_cc);
}

// Of a terminal that nobody has changed.
termios fresh_terminal() { return Process({.words = {"cat"}, .columns = 80}).terminal_state(); }

TEST(Terminal, ShowsBarBeatBlocksAndEnergy) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  EXPECT_EQ(play.wait(), 0) << play.screen();
  EXPECT_NE(play.screen().find("playing to piano:keys"), std::string::npos);
  EXPECT_NE(play.screen().find("q quit"), std::string::npos);
  const std::regex form(
      R"( *(\d):([1-4])  \[(#*)(\.*)\]  sentence (\d)  phrase (\d\.\d)  motif (\d\.\d\.\d))");
  std::set<std::string> places;
  std::set<std::string> bars;
  for (const std::string& line : status_lines(play)) {
    if (line.empty()) continue;
    std::smatch found;
    ASSERT_TRUE(std::regex_match(line, found, form)) << line;
    const int bar = std::stoi(found[1]) - 1;
    const std::string phrase = std::to_string(bar / 4 + 1) + "." + std::to_string(bar / 2 % 2 + 1);
    EXPECT_EQ(found[5], std::to_string(bar / 4 + 1)) << line;
    EXPECT_EQ(found[6], phrase) << line;
    EXPECT_EQ(found[7], phrase + "." + std::to_string(bar % 2 + 1)) << line;
    EXPECT_EQ(found[3].length() + found[4].length(), 10) << line;
    places.insert(found[1].str() + ":" + found[2].str());
    bars.insert(found[3]);
  }
  EXPECT_GT(places.size(), 24u);  // of 32
  EXPECT_GT(bars.size(), 3u);
  EXPECT_TRUE(same(play.terminal_state(), fresh_terminal()));
}

TEST(Terminal, PausesInSilenceUntilTheNextBlank) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(30));  // in bar 3, under pedal
  play.type(" ");
  ASSERT_TRUE(shows(play, "paused"));
  const std::vector<Heard> paused = receiver.all();
  expect_silenced(paused);
  std::this_thread::sleep_for(500ms);
  EXPECT_EQ(receiver.heard().size(), paused.size());
  play.type(" ");
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  EXPECT_EQ(receiver.ons(), 96u);
  expect_silenced(heard);
  // The pedal is down again with the first note after.
  const auto after = std::find_if(heard.begin() + static_cast<std::ptrdiff_t>(paused.size()),
                                  heard.end(), [](const Heard& each) { return each.is_on(); });
  EXPECT_EQ(std::count_if(heard.begin() + static_cast<std::ptrdiff_t>(paused.size()), after,
                          [](const Heard& each) {
                            return each.bytes == std::vector<std::uint8_t>{0xB0, 64, 127};
                          }),
            1);
}

TEST(Terminal, GoesToTheNextAndPreviousPhrase) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(2));
  play.type(" ");
  ASSERT_TRUE(shows(play, "paused"));
  struct Row {
    std::string keys;
    const char* place;
  };
  const std::string left = kLeft;
  const std::string right = kRight;
  for (const auto& [keys, place] :
       {Row{right, "  3:1  [####......]  paused  sentence 1  phrase 1.2"},
        Row{right + right, "  7:1"}, Row{right, "  7:1"}, Row{left, "  5:1"},
        Row{"\x1bOD", "  3:1"}, Row{left + left, "  1:1"}, Row{left, "  1:1"},
        Row{right + right + right + left, "  5:1"}, Row{left, "  3:1"}}) {
    const std::size_t before = play.screen().size();
    play.type(keys);
    ASSERT_TRUE(wait_until([&] { return play.screen().size() > before + 400; }));
    const std::string line = status_lines(play).back();
    EXPECT_TRUE(line.starts_with(place)) << line << ", not " << place;
  }
  const std::size_t before = receiver.all().size();
  play.type(" ");
  ASSERT_TRUE(wait_until([&] { return receiver.heard().size() > before + 20; }));
  // Bar 3: its program, its pedal, its first notes.
  std::vector<Heard> after = receiver.heard();
  after.erase(after.begin(), after.begin() + static_cast<std::ptrdiff_t>(before));
  const std::vector<Heard> notes = notes_on(after, 0);
  ASSERT_GE(notes.size(), 2u);
  EXPECT_EQ(notes[0].bytes[1], 60 + 16 * 5 % 13);
  EXPECT_EQ(notes[1].bytes[1], 60 + 17 * 5 % 13);
  play.type("q");
  EXPECT_EQ(play.wait(), 0);
  expect_silenced(receiver.all());
}

TEST(Terminal, GoesElsewhereWhileItPlays) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(4));
  play.type(kRight);
  ASSERT_TRUE(shows(play, "  3:"));
  play.type(kRight);
  ASSERT_TRUE(shows(play, "  5:"));
  play.type(kRight);
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  // The last phrase whole: 16 eighths, the rest of it as in the score.
  const std::vector<Heard> right = notes_on(heard, 0);
  ASSERT_GT(right.size(), 16u);
  EXPECT_LT(right.size(), 60u);
  for (std::size_t i = 0; i < 16; ++i) {
    EXPECT_EQ(right[right.size() - 16 + i].bytes[1], 60 + static_cast<int>(48 + i) * 5 % 13) << i;
  }
  EXPECT_EQ(std::ranges::count(heard, std::vector<std::uint8_t>{0xC0, 6}, &Heard::bytes), 3);
}

// Velocities by channel, key and how many notes of that key came before.
using Velocities = std::map<std::tuple<int, int, int>, int>;

Velocities velocities_of(const Rendition& rendition) {
  Velocities velocities;
  std::map<std::pair<int, int>, int> count;
  for (const TimedMessage& on : ons_of(rendition)) {
    const std::pair key(on.bytes[0] & 0x0F, on.bytes[1]);
    velocities[{key.first, key.second, count[key]++}] = on.bytes[2];
  }
  return velocities;
}

struct Press {
  char key;
  const char* shown;
  LayerOptions layers;  // from then on
};

std::vector<Press> presses() {
  std::vector<Press> all(6);
  all[0] = {'m', "no motif", {}};
  all[1] = {'P', "no motif  no phrase", {}};  // capital letters do as well
  all[2] = {'s', "no motif  no phrase  no sentence", {}};
  all[3] = {'p', "no motif  no sentence", {}};
  all[4] = {'f', "flat", {}};
  all[5] = {'w', "flat", {}};  // changes nothing as long as it is flat
  all[0].layers.without = {"motif"};
  all[1].layers.without = {"motif", "phrase"};
  all[2].layers.without = {"motif", "phrase", "sentence"};
  all[3].layers.without = {"motif", "sentence"};
  all[4].layers.amount = all[5].layers.amount = "0%";
  return all;
}

TEST(Terminal, ChangesLevelsWhileItPlaysAndLosesNoNote) {
  const Bench bench;
  const Receiver receiver(shared_server());
  const std::vector<Press> keys = presses();
  Process play(bench.play(shared_server(), {"--port", "piano"}, 120));
  std::vector<Clock::time_point> pressed = {Clock::now()};
  std::vector<Velocities> wanted = {velocities_of(*bench.rendition())};
  for (const Press& press : keys) {
    wanted.push_back(velocities_of(*bench.rendition({}, press.layers)));
  }
  for (std::size_t i = 0; i < keys.size(); ++i) {
    ASSERT_TRUE(receiver.wait_for_ons((i + 1) * 13));
    pressed.push_back(Clock::now());
    play.type(std::string(1, keys[i].key));
    ASSERT_TRUE(shows(play, std::string("]  ") + keys[i].shown)) << play.screen();
  }
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);

  std::map<std::pair<int, int>, int> count;
  std::size_t told_apart = 0;
  for (const Heard& each : heard) {
    if (!each.is_on()) continue;
    const std::pair key(each.channel(), each.bytes[1]);
    const std::tuple note(key.first, key.second, count[key]++);
    ASSERT_TRUE(wanted[0].contains(note)) << "struck twice: " << key.second;
    const auto later = std::ranges::upper_bound(pressed, each.at);
    const auto now = static_cast<std::size_t>(later - pressed.begin()) - 1;
    const bool just_pressed = now > 0 && each.at - pressed[now] < 400ms;
    const int velocity = each.bytes[2];
    EXPECT_TRUE(velocity == wanted[now].at(note) ||
                (just_pressed && velocity == wanted[now - 1].at(note)))
        << "note " << key.second << " after key " << now << ": " << velocity << ", not "
        << wanted[now].at(note);
    if (now > 0 && wanted[now].at(note) != wanted[0].at(note)) ++told_apart;
  }
  EXPECT_EQ(receiver.ons(), 96u);  // none left out
  EXPECT_GT(told_apart, 40u);
}

TEST(Terminal, MissesNoKeyOfManyAtOnce) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(2));
  play.type("         ");  // nine: paused in the end
  ASSERT_TRUE(shows(play, "paused"));
  expect_silenced(receiver.all());
  play.type("  ffmmpf");
  ASSERT_TRUE(shows(play, "paused  flat"));
  play.type(std::string(kRight) + kRight + kLeft + kRight + kRight + " ");
  ASSERT_TRUE(shows(play, "  7:"));
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  EXPECT_LE(notes_on(heard, 0).size(), 24u);
}

TEST(Terminal, TakesAChangeWhilePaused) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(20));
  play.type(" ");
  ASSERT_TRUE(shows(play, "paused"));
  const std::size_t before = receiver.all().size();
  play.type("f");
  ASSERT_TRUE(shows(play, "paused  flat"));
  EXPECT_EQ(receiver.all().size(), before);
  play.type(" ");
  EXPECT_EQ(play.wait(), 0);
  const std::vector<Heard> heard = receiver.all();
  expect_silenced(heard);
  EXPECT_EQ(receiver.ons(), 96u);
  LayerOptions flat;
  flat.amount = "0%";
  const std::vector<TimedMessage> wanted = ons_of(*bench.rendition({}, flat));
  std::vector<int> velocities;
  for (std::size_t i = before; i < heard.size(); ++i) {
    if (heard[i].is_on()) velocities.push_back(heard[i].bytes[2]);
  }
  ASSERT_LE(velocities.size(), wanted.size());
  for (std::size_t i = 0; i < velocities.size(); ++i) {
    EXPECT_EQ(velocities[i], wanted[wanted.size() - velocities.size() + i].bytes[2]) << i;
  }
}

TEST(Terminal, IsAsBeforeWhenQOrASignalEndsIt) {
  struct Row {
    const char* what;
    std::string keys;
    int end;
  };
  const termios before = fresh_terminal();
  const Bench bench;
  for (const Row& row :
       {Row{"q", "q", 0}, Row{"Ctrl-C", "\x03", -SIGINT}, Row{"Ctrl-\\", "\x1c", -SIGQUIT},
        Row{"q while paused", " q", 0}, Row{"Ctrl-C while paused", " \x03", -2}}) {
    SCOPED_TRACE(row.what);
    const Receiver receiver(shared_server());
    Process play(bench.play(shared_server(), {"--port", "piano", "--loop"}, 100));
    ASSERT_TRUE(receiver.wait_for_ons(3));
    ASSERT_TRUE(shows(play, "1:"));
    EXPECT_FALSE(same(play.terminal_state(), before));
    play.type(row.keys);
    EXPECT_EQ(play.wait(), row.end);
    EXPECT_TRUE(same(play.terminal_state(), before));
    expect_silenced(receiver.all());
    EXPECT_EQ(status_lines(play).back(), "");  // wiped
  }
}

TEST(Terminal, MayGoAway) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--loop"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(3));
  play.hang_up();
  EXPECT_EQ(play.wait(), -SIGHUP);
  expect_silenced(receiver.all());
}

// The client of a server that has died takes messages until it is full, and then waits for ever.
TEST(Terminal, EndsThoughKeysArePressedAtADeadServer) {
  const Bench bench;
  JackServer server;
  const Receiver receiver(server);
  Process play(bench.play(server, {"--port", "piano", "--loop"}, 100));
  ASSERT_TRUE(receiver.wait_for_ons(3));
  server.kill();
  for (int i = 0; i < 100; ++i) play.type(kLeft);
  EXPECT_EQ(play.wait(15s), 3);
  EXPECT_NE(play.screen().find("the MIDI port 'piano:keys' has gone"), std::string::npos);
}

TEST(Terminal, IsNotWrappedWhereItIsNarrow) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Process play(bench.play(shared_server(), {"--port", "piano", "--to", "3:1"}, 20));
  EXPECT_EQ(play.wait(), 0);
  std::size_t longest = 0;
  for (const std::string& line : status_lines(play)) longest = std::max(longest, line.size());
  EXPECT_EQ(longest, 19u);
}

TEST(Terminal, IsNotNeeded) {
  const Bench bench;
  const Receiver receiver(shared_server());
  Command command = bench.play(shared_server(), {"--port", "piano", "--tempo", "200%"});
  command.input = "q q \x1b[C";
  Process play(command);
  EXPECT_EQ(play.wait(), 0);
  EXPECT_EQ(receiver.ons(), 96u);
  EXPECT_EQ(play.out(), "");
  EXPECT_EQ(play.err().find('\r'), std::string::npos) << play.err();
  EXPECT_EQ(play.err().find('\x1b'), std::string::npos) << play.err();
  EXPECT_EQ(play.err().find("quit"), std::string::npos) << play.err();
}

}  // namespace
}  // namespace arsis::test
