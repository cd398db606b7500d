// `play` as sound: to a JACK server without a device, to a file at the pace of a device, and where
// there is none.
#include <gtest/gtest.h>
#include <signal.h>

#include <cmath>
#include <regex>

#include "live/bench.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"

namespace arsis::test {
namespace {

struct AudioBench : Bench {
  AudioBench() {
    write_soundfont(path() / "sine.sf2", Wave::kSine);
    write_soundfont(path() / "click.sf2", Wave::kClick);
  }
  Recording recording(const std::string& name) const { return read_recording(path() / name); }
};

// Seconds at which sound begins after 30 ms of silence.
std::vector<double> onsets_of(const Recording& recording) {
  std::vector<double> onsets;
  double quiet = 1.0;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    if (std::abs(recording.left[i]) < 1e-3F) {
      quiet += 1.0 / recording.rate;
      continue;
    }
    if (quiet > 0.03) onsets.push_back(static_cast<double>(i) / recording.rate);
    quiet = 0.0;
  }
  return onsets;
}

TEST(PlayAsSound, EndsByItselfAtAJackServer) {
  const AudioBench bench;
  Process play(bench.play(shared_server(), {"--driver", "jack", "--soundfont", "sine.sf2",
                                            "--timings", "--tempo", "200%"}));
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::regex form(
      R"((\d+) messages, first note (\d+\.\d+) s after playing began; half of the notes sent within )"
      R"((\d+\.\d+) ms of their moment, 99 % within (\d+\.\d+) ms\n)");
  const std::string out = play.out();
  std::smatch found;
  ASSERT_TRUE(std::regex_match(out, found, form)) << out;
  EXPECT_GE(std::stoi(found[1]), 2 * 96);
  EXPECT_LT(std::stod(found[2]), 0.1);
  // Counted in frames, not by a clock: a note goes to the nearest block of 64 frames, and the count
  // is in steps of 0.05 ms.
  EXPECT_LE(std::stod(found[4]), 64.0 / 48'000 * 1e3 / 2 + 0.051);
  EXPECT_LE(std::stod(found[3]), std::stod(found[4]));
}

TEST(PlayAsSound, EndsByKeyAndSignal) {
  const AudioBench bench;
  const std::vector<std::string> words = {"--driver", "jack", "--soundfont", "sine.sf2", "--loop"};
  Process by_key(bench.play(shared_server(), words, 80));
  ASSERT_TRUE(wait_until([&] { return by_key.screen().find("1:2") != std::string::npos; }));
  by_key.type(" f\x1b[C mq");
  EXPECT_EQ(by_key.wait(), 0);
  Process by_signal(bench.play(shared_server(), words, 80));
  ASSERT_TRUE(wait_until([&] { return by_signal.screen().find("1:2") != std::string::npos; }));
  by_signal.signal(SIGINT);
  EXPECT_EQ(by_signal.wait(), -SIGINT);
}

TEST(PlayAsSound, TellsThatTheServerHasGone) {
  const AudioBench bench;
  JackServer server;
  Process play(bench.play(server, {"--driver", "jack", "--soundfont", "sine.sf2", "--loop"}, 80));
  ASSERT_TRUE(wait_until([&] { return play.screen().find("1:2") != std::string::npos; }));
  server.kill();
  EXPECT_EQ(play.wait(15s), 3);
  EXPECT_NE(play.screen().find("the audio device (jack) has stopped; see that it is there, and"),
            std::string::npos)
      << play.screen();
}

TEST(PlayAsSound, SoundsInAFileAsItIsRendered) {
  const AudioBench bench;
  const std::vector<std::string> sound = {"--soundfont", "click.sf2", "--reverb",
                                          "off",         "--mute",    "left hand"};
  std::vector<std::string> live = {"--driver", "file=live.wav"};
  std::vector<std::string> rendered = {program(), "render", "plan.yaml", "-o", "rendered.wav"};
  live.insert(live.end(), sound.begin(), sound.end());
  rendered.insert(rendered.end(), sound.begin(), sound.end());
  Process play(bench.play(shared_server(), live));
  Process render({.words = rendered, .folder = bench.path()});
  EXPECT_EQ(render.wait(), 0) << render.err();
  EXPECT_EQ(play.wait(), 0) << play.err();
  const std::vector<double> heard = onsets_of(bench.recording("live.wav"));
  const std::vector<double> wanted = onsets_of(bench.recording("rendered.wav"));
  ASSERT_EQ(wanted.size(), 64u);
  ASSERT_EQ(heard.size(), wanted.size());
  // Both to the nearest block of 64 frames at worst; a file has no clock that could disturb it.
  for (std::size_t i = 0; i < heard.size(); ++i) EXPECT_NEAR(heard[i], wanted[i], 0.002) << i;
}

TEST(PlayAsSound, PlaysAMinuteWithoutADevice) {
  const AudioBench bench;
  PassageOptions passage;
  passage.tempo = "13%";
  const Seconds length = bench.rendition(passage)->end;
  ASSERT_GT(length.value, 60.0);
  const auto begin = Clock::now();
  Process play(bench.play(shared_server(), {"--driver", "file=minute.wav", "--soundfont",
                                            "sine.sf2", "--tempo", "13%"}));
  EXPECT_EQ(play.wait(120s), 0) << play.err();
  EXPECT_GE(std::chrono::duration<double>(Clock::now() - begin).count(), length.value);
  const Recording recording = bench.recording("minute.wav");
  ASSERT_EQ(recording.rate, 48'000);
  const double seconds = static_cast<double>(recording.left.size()) / recording.rate;
  EXPECT_GE(seconds, length.value);
  EXPECT_LT(seconds, length.value + 7.0);  // the longest tail is 6 s
  for (int second = 0; second < 60; ++second) {
    EXPECT_GT(level_db(recording, second, second + 1.0), -60.0) << second;
  }
  EXPECT_LE(peak_of(recording), 1.0);
}

TEST(PlayAsSound, LeavesAWholeFileWhereASignalEndsIt) {
  const AudioBench bench;
  Process play(bench.play(shared_server(),
                          {"--driver", "file=cut.wav", "--soundfont", "sine.sf2", "--loop"}, 80));
  ASSERT_TRUE(wait_until([&] { return play.screen().find("1:4") != std::string::npos; }));
  play.signal(SIGINT);
  EXPECT_EQ(play.wait(), -SIGINT);
  EXPECT_EQ(bench.files(), (std::vector<std::string>{"click.sf2", "cut.wav", "piece.mid",
                                                     "plan.yaml", "sine.sf2"}));
  EXPECT_GT(level_db(bench.recording("cut.wav"), 0.0, 0.5), -60.0);
}

TEST(PlayAsSound, TellsWhatItCannotPlayTo) {
  struct Row {
    const char* what;
    std::vector<std::string> words;
    int code;
    const char* message;
  };
  const AudioBench bench;
  bench.write("bad.sf2", "no SoundFont");
  bench.write("no-sound.conf", "");
  // Neither a sound server nor a device of ALSA's.
  const std::vector<std::string> nowhere = {
      "JACK_DEFAULT_SERVER=arsis-none", "JACK_NO_START_SERVER=1", "XDG_RUNTIME_DIR=/nonexistent",
      "ALSA_CONFIG_PATH=" + (bench.path() / "no-sound.conf").string()};
  const std::vector<std::string> before = bench.files();
  for (const auto& [what, words, code, message] :
       {Row{"no device",
            {},
            3,
            "no audio device was found; play to a MIDI port with --port, or write a file with "
            "'arsis render'\n"},
        Row{"no such device",
            {"--driver", "alsa", "--device", "hw:99"},
            3,
            "the audio driver 'alsa' finds no device; "},
        Row{"no server", {"--driver", "jack"}, 3, "the audio driver 'jack' finds no device; "},
        Row{"no port at all",
            {"--port", "piano"},
            3,
            "there is no MIDI port 'piano'; no port at all was found; 'arsis ports' says why\n"},
        Row{"a port without a name",
            {"--port", ""},
            2,
            "--port names no port; write a part of a name that 'arsis ports' lists\n"},
        Row{"the levels of a port",
            {"--port", "piano", "--levels", "measured"},
            2,
            "--levels measured measures a SoundFont, which no port has; type the instrument's "
            "levels "
            "into the plan, as 'levels:'\n"},
        Row{"no such folder", {"--driver", "file=none/x.wav"}, 3, "none/x.wav"},
        Row{"no audio file", {"--driver", "file=x.txt"}, 3, "x.txt"},
        Row{"bad SoundFont", {"--driver", "file=x.wav", "--soundfont", "bad.sf2"}, 3, "bad.sf2"},
        Row{"no driver", {"--driver", "organ"}, 2, "--driver cannot be 'organ'; write "},
        Row{"no file name", {"--driver", "file"}, 2, "--driver cannot be 'file'; write "},
        Row{"port and driver",
            {"--port", "x", "--driver", "jack"},
            2,
            "--port does not go with an audio driver, device or SoundFont; leave out one or the "
            "other\n"}}) {
    SCOPED_TRACE(what);
    Command command = bench.play(shared_server(), words);
    command.environment = nowhere;
    Process play(command);
    EXPECT_EQ(play.wait(), code);
    EXPECT_NE(play.err().find(message), std::string::npos) << play.err();
    EXPECT_EQ(play.out(), "");
    EXPECT_EQ(bench.files(), before);
  }
}

}  // namespace
}  // namespace arsis::test
