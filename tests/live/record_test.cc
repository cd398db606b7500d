// `take record`: what is played at a port of a JACK server, and what is left of it when something
// ends early.
#include <gtest/gtest.h>
#include <signal.h>

#include <algorithm>
#include <utility>

#include "live/bench.h"
#include "smf/score_reader.h"
#include "tool/take_file.h"

namespace arsis::test {
namespace {

constexpr const char* kPart = "take.mid.part";

struct RecordBench : Bench {
  // `arsis take record plan.yaml -o take.mid --port piano WORDS`
  Command record(std::vector<std::string> words = {}, int columns = 0) const {
    std::vector<std::string> all = {program(), "take",     "record", "plan.yaml",
                                    "-o",      "take.mid", "--port", "piano"};
    all.insert(all.end(), words.begin(), words.end());
    return {.words = all,
            .environment = shared_server().environment(),
            .folder = path(),
            .columns = columns};
  }
  bool wait_for_begin() const {
    return wait_until([&] { return has(kPart); });
  }
  // Its notes in the order of the file: on a busy machine several come at one moment.
  std::vector<PlayedNote> notes(const std::string& name = "take.mid") const {
    Result<Score> file = read_score(path() / name, Origin::kPlayed);
    if (!file) throw std::runtime_error(to_string(file.diagnostics().front()));
    std::ranges::sort(file->notes, {}, &Note::sequence);
    std::vector<PlayedNote> notes;
    for (const Note& note : file->notes) {
      notes.push_back({file->tempo.seconds_at(note.onset), file->tempo.seconds_at(note.end),
                       note.key, note.velocity});
    }
    return notes;
  }
};

std::vector<Heard> ons_of(const std::vector<Heard>& sent) {
  std::vector<Heard> ons;
  for (const Heard& each : sent) {
    if (each.is_on() && each.bytes[1] >= 40) ons.push_back(each);
  }
  return ons;
}

// The first `count` notes of the take are those that were sent, in order.
void expect_same(const std::vector<PlayedNote>& notes, const std::vector<Heard>& sent,
                 std::size_t count) {
  ASSERT_GE(notes.size(), count);
  ASSERT_GE(sent.size(), count);
  for (std::size_t i = 0; i < count; ++i) {
    ASSERT_EQ(notes[i].key, sent[i].bytes[1]) << i;
    ASSERT_EQ(notes[i].velocity.value(), sent[i].bytes[2]) << i;
  }
}

// Half of the notes are this near to when they were sent; the usual delay is taken off.
double median_off(const std::vector<PlayedNote>& notes, const std::vector<Heard>& sent) {
  std::vector<double> late;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const std::chrono::duration<double> since = sent[i].at - sent[0].at;
    late.push_back(notes[i].onset.value - since.count());
  }
  return test::median_off(std::move(late));
}

TEST(TakeRecord, RecordsEveryNoteInOrderAndInTimeUntilTheSign) {
  const RecordBench bench;
  Sender sender(shared_server(), 500, 4ms, true);
  Process record(bench.record());
  ASSERT_TRUE(bench.wait_for_begin()) << record.err();
  sender.play();
  EXPECT_EQ(record.wait(), 0) << record.err();
  EXPECT_NE(record.out().find("wrote take.mid (0:02, 500 notes)\n"), std::string::npos)
      << record.out();
  const std::vector<PlayedNote> notes = bench.notes();
  const std::vector<Heard> sent = ons_of(sender.sent());
  ASSERT_EQ(notes.size(), 500u);  // without the sign
  expect_same(notes, sent, 500);
  EXPECT_LT(median_off(notes, sent), 0.003);
  EXPECT_FALSE(bench.has(kPart));
  const Result<TakeFile> take = read_take(bench.path() / "take.mid");
  ASSERT_TRUE(take);
  EXPECT_EQ(take->date.size(), 16u);  // "2026-11-29 16:50"
}

TEST(TakeRecord, LeavesWhatWasPlayedWhenItIsKilled) {
  const RecordBench bench;
  JackServer server;  // its own: a server waits long for a client that was killed
  Sender sender(server, 600, 4ms);
  Command command = bench.record();
  command.environment = server.environment();
  Process record(command);
  ASSERT_TRUE(bench.wait_for_begin()) << record.err();
  sender.play();
  ASSERT_TRUE(wait_until([&] { return ons_of(sender.sent()).size() >= 400; }));
  const auto killed = Clock::now();
  record.signal(SIGKILL);
  EXPECT_EQ(record.wait(), -SIGKILL);
  server.kill();
  EXPECT_FALSE(bench.has("take.mid"));
  const std::vector<Heard> sent = ons_of(sender.sent());
  // The recorder needs a tenth of a second; the rest is for the server of a busy machine.
  const auto before =
      std::ranges::count_if(sent, [&](const Heard& each) { return each.at < killed - 500ms; });
  ASSERT_GT(before, 100);
  expect_same(bench.notes(kPart), sent, static_cast<std::size_t>(before));
  // What it left is not written over.
  Process again(bench.record());
  EXPECT_EQ(again.wait(), 2);
  EXPECT_TRUE(
      again.err().ends_with("take.mid.part: is a recording that was cut off; 'arsis take compare' "
                            "reads it; move it away, "
                            "or name another file\n"))
      << again.err();
}

TEST(TakeRecord, EndsWithCtrlCOrAKeyOrTheTerm) {
  struct Row {
    int signal;
    int code;
  };
  for (const auto& [number, code] : {Row{SIGINT, 0}, {SIGTERM, -SIGTERM}, {0, 0}}) {
    SCOPED_TRACE(number);
    const RecordBench bench;
    Sender sender(shared_server(), 50, 4ms);
    Process record(bench.record({}, number == 0 ? 80 : 0));
    ASSERT_TRUE(bench.wait_for_begin());
    sender.play();
    ASSERT_TRUE(sender.wait_until_done());
    std::this_thread::sleep_for(100ms);
    if (number == 0) {
      record.type("q");
    } else {
      record.signal(number);
    }
    EXPECT_EQ(record.wait(), code) << record.err();
    EXPECT_EQ(bench.notes().size(), 50u);
    EXPECT_FALSE(bench.has(kPart));
  }
}

TEST(TakeRecord, KeepsTheFileWhenThePortVanishes) {
  const RecordBench bench;
  Sender sender(shared_server(), 50, 4ms);
  Process record(bench.record());
  ASSERT_TRUE(bench.wait_for_begin());
  sender.play();
  ASSERT_TRUE(sender.wait_until_done());
  sender.close();
  EXPECT_EQ(record.wait(), 3);
  EXPECT_NE(record.err().find("the MIDI port 'piano:keys' has vanished; what was played until then "
                              "is in the file\n"),
            std::string::npos)
      << record.err();
  EXPECT_EQ(bench.notes().size(), 50u);
}

TEST(TakeRecord, KeepsTheFileWhenTheServerDies) {
  const RecordBench bench;
  JackServer server;
  Sender sender(server, 50, 4ms);
  Command command = bench.record();
  command.environment = server.environment();
  Process record(command);
  ASSERT_TRUE(bench.wait_for_begin());
  sender.play();
  ASSERT_TRUE(sender.wait_until_done());
  server.kill();
  EXPECT_EQ(record.wait(10s), 3) << record.err();
  EXPECT_EQ(bench.notes().size(), 50u);
}

TEST(TakeRecord, CountsInAndClicks) {
  const RecordBench bench;
  const Receiver clicks(shared_server(), "metronome");
  Sender sender(shared_server(), 5, 4ms, true);
  Process record(bench.record({"--count-in", "1", "--click", "--click-port", "metronome"}));
  ASSERT_TRUE(clicks.wait_for_ons(8)) << record.err();  // a bar of four, and one of the piece
  for (const Heard& click : clicks.heard()) {
    if (!click.is_on()) continue;
    EXPECT_EQ(click.channel(), 9);
    EXPECT_TRUE(click.bytes[1] == 76 || click.bytes[1] == 77);
  }
  sender.play();
  EXPECT_EQ(record.wait(), 0) << record.err();
  EXPECT_EQ(bench.notes().size(), 5u);
  expect_silenced(clicks.all());
}

TEST(TakeRecord, RefusesWhatCannotBeRecordedAndWritesNothing) {
  const RecordBench bench;
  const Sender sender(shared_server(), 5, 4ms);
  const auto refused = [&](const Command& command, int code, const std::string& message) {
    Process record(command);
    EXPECT_EQ(record.wait(), code);
    EXPECT_TRUE(record.err().ends_with(message)) << record.err();
    EXPECT_FALSE(bench.has("take.mid") || bench.has(kPart));
  };
  Command nowhere = bench.record();
  nowhere.words.back() = "harp";
  refused(nowhere, 3, "there is no MIDI port 'harp'; 'arsis ports' lists those there are\n");
  Command text = bench.record();
  text.words[5] = "take.txt";
  refused(text, 2, "the ending of 'take.txt' names no format; use .mid\n");
  refused(bench.record({"--count-in", "1", "--click-port", "harp"}), 3,
          "there is no MIDI port 'harp'; 'arsis ports' lists those there are\n");
  // Nothing was played.
  Process silent(bench.record());
  ASSERT_TRUE(bench.wait_for_begin());
  silent.signal(SIGINT);
  EXPECT_EQ(silent.wait(), 1);
  EXPECT_TRUE(silent.err().ends_with(
      "take.mid: was not written: no note was played; 'arsis ports' lists the ports; is it the "
      "right one?\n"))
      << silent.err();
  EXPECT_FALSE(bench.has("take.mid") || bench.has(kPart));
  // A take that is there is kept.
  bench.write("take.mid", "mine");
  Process kept(bench.record());
  EXPECT_EQ(kept.wait(), 2);
  EXPECT_TRUE(kept.err().ends_with(
      "take.mid: is there already; name another file, or replace it with --force\n"))
      << kept.err();
  EXPECT_EQ(bench.read("take.mid"), "mine");
}

TEST(TakeRecord, ListsThePortsToRecordFrom) {
  const Sender sender(shared_server(), 1, 1ms);
  Process ports({.words = {program(), "ports"}, .environment = shared_server().environment()});
  EXPECT_EQ(ports.wait(), 0);
  EXPECT_NE(ports.out().find("JACK: ports to record from\n"), std::string::npos) << ports.out();
  EXPECT_NE(ports.out().find("  piano:keys\n"), std::string::npos) << ports.out();
}

}  // namespace
}  // namespace arsis::test
