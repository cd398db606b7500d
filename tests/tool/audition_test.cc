// `arsis audition -o FILE` from outside: which readings are in the file, where, how loud, and what
// is said of them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <regex>
#include <string>
#include <utility>
#include <vector>

#include "smf/midi_file.h"
#include "sound/loudness.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

// The mains of phrase 1.1 one by one, as a player would write them.
constexpr std::array<const char*, 3> kFeet = {"u / u", "/ u u", "u u /"};
constexpr const char* kNothing = ": nothing in the score speaks for it\n";

std::string plan_with(const std::string& feet) {
  std::string text = lantern_plan(kLanternSentences);
  text.replace(text.find("u / u"), 5, feet);
  return text;
}

struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    copy_demo(*this, "mill-round.mid");
    write("plan.yaml", lantern_plan(kLanternSentences));
    write_soundfont(path() / "sine.sf2", Wave::kSine);
    for (std::size_t i = 0; i < kFeet.size(); ++i) {
      write("feet" + std::to_string(i) + ".yaml", plan_with(kFeet[i]));
    }
  }
  MidiFile midi(const std::string& name) const {
    const Result<Bytes> bytes = read_file(path() / name, 1u << 24);
    const Result<MidiFile> file = bytes ? read_midi(*bytes, name) : bytes.diagnostics();
    return file ? *file : MidiFile{};
  }
};

struct Struck {
  std::int64_t tick;
  std::vector<std::uint8_t> bytes;
  friend bool operator==(const Struck&, const Struck&) = default;
};

// The channel messages of all tracks between two ticks, counted from the first; without the resets
// that a file of several readings has between them.
std::vector<Struck> struck(const MidiFile& file, std::int64_t from, std::int64_t to) {
  std::vector<Struck> all;
  for (const MidiTrack& track : file.tracks) {
    for (const MidiEvent& event : track.events) {
      const auto bytes = file.bytes_of(event);
      const bool reset = (bytes[0] & 0xF0) == 0xB0 && bytes[1] == 121;
      if (event.tick < from || event.tick >= to || bytes[0] >= 0xF0 || reset) continue;
      all.push_back({event.tick - from, {bytes.begin(), bytes.end()}});
    }
  }
  return all;
}

std::vector<std::pair<std::int64_t, std::string>> markers(const MidiFile& file) {
  std::vector<std::pair<std::int64_t, std::string>> found;
  for (const MidiEvent& event : file.tracks.front().events) {
    const auto bytes = file.bytes_of(event);
    if (bytes[0] == 0xFF && bytes[1] == 0x06) {
      found.emplace_back(event.tick, std::string(bytes.begin() + 2, bytes.end()));
    }
  }
  return found;
}

// Each reading is what the plan with that main renders, note for note.
TEST(Audition, WritesEachReadingAfterAMarkerWithItsName) {
  const Bench bench;
  const Ran ran = bench.arsis("audition plan.yaml --phrase 1.1 --tempo 160% -o all.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "");
  const MidiFile all = bench.midi("all.mid");
  auto marked = markers(all);
  ASSERT_EQ(marked.size(), 3u);
  EXPECT_EQ(marked[0], (std::pair<std::int64_t, std::string>{0, "motif 2 leads"}));
  EXPECT_EQ(marked[1].second, "motif 1 leads");
  EXPECT_EQ(marked[2].second, "motif 3 leads");
  marked.emplace_back(std::int64_t{1} << 40, "end");
  std::vector<std::vector<Struck>> heard;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::string name = "feet" + std::to_string(i);
    ASSERT_EQ(bench.arsis("render " + name + ".yaml --phrase 1.1 --tempo 160% -o x.mid").code, 0);
    heard.push_back(struck(all, marked[i].first, marked[i + 1].first));
    EXPECT_EQ(heard.back(), struck(bench.midi("x.mid"), 0, marked[3].first)) << name;
    EXPECT_EQ(marked[i].first % all.division, 0);
  }
  EXPECT_NE(heard[0], heard[1]);
  EXPECT_NE(heard[1], heard[2]);
}

struct Said {
  std::string words;
  std::string out;
};

TEST(Audition, TellsWhereEachBeginsAndWhatSpeaksForIt) {
  const Bench bench;
  bench.write("other.yaml", plan_with("/ u u"));
  const std::vector<Said> all = {
      {"plan.yaml --phrase 1.1",
       "phrase 1.1\n"
       "   1   0:00.0  motif 2 leads (yours): G over C sharp on the beat, resolving by step (2:1)\n"
       "   2   0:0T.T  motif 1 leads" +
           std::string(kNothing) + "   3   0:TT.T  motif 3 leads" + kNothing},
      {"plan.yaml --sentence 1",
       "sentence 1\n"
       "   1   0:00.0  phrase 2 leads (yours): E\n   2   0:TT.T  phrase 1 leads: E\n"},
      {"plan.yaml", "the piece\n   1   0:00.0  no sentence leads (yours)" + std::string(kNothing)},
      {"plan.yaml --against other.yaml --sentence 1",
       "sentence 1\n"
       "   1   0:00.0  plan.yaml (yours): phrase 1.1: motif 2\n"
       "   2   0:TT.T  other.yaml: phrase 1.1: motif 1\n"},
      {"plan.yaml --against other.yaml --from 9:1 --to 11:1",
       "9:1 to 11:1\n"
       "   1   0:00.0  plan.yaml (yours): has the same mains here\n"
       "   2   0:TT.T  other.yaml: has the same mains here\n"}};
  for (const Said& said : all) {
    const Ran ran = bench.arsis("audition " + said.words + " -o x.mid");
    EXPECT_EQ(ran.code, 0) << ran.err;
    // Times but for 0:00.0, and the words of the draft, have tests of their own.
    const std::string wanted = "wrote x.mid: " + said.out;
    std::string pattern;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      const char c = wanted[i];
      if (c == 'T') {
        pattern += "[0-9]";
      } else if (c == 'E' && i > 0 && wanted[i - 1] == ' ' && wanted[i + 1] == '\n') {
        pattern += ".+";
      } else {
        pattern +=
            (std::string("().+").find(c) != std::string::npos ? "\\" : "") + std::string(1, c);
      }
    }
    EXPECT_TRUE(std::regex_search(ran.out, std::regex("^" + pattern))) << ran.out << pattern;
  }
}

TEST(Audition, BeginsABarEarlierWhereItIsAsked) {
  const Bench bench;
  const auto length = [&](const std::string& words) {
    EXPECT_EQ(bench.arsis("audition plan.yaml " + words + " -o x.mid").code, 0) << words;
    const MidiFile file = bench.midi("x.mid");
    // Of the first reading, in quarters.
    std::int64_t end = 0;
    for (const Struck& each : struck(file, 0, markers(file)[1].first)) {
      end = std::max(end, each.tick);
    }
    return static_cast<double>(end) / file.division;
  };
  EXPECT_NEAR(length("--phrase 2.1 --lead-in") - length("--phrase 2.1"), 3.0, 0.1);
  EXPECT_NEAR(length("--phrase 1.1 --lead-in") - length("--phrase 1.1"), 0.0, 1e-9);
}

// The loudness of a stretch of the file, by libebur128.
double lufs(const Recording& sound, std::size_t from, std::size_t to) {
  LoudnessMeter meter(sound.rate);
  std::vector<float> samples;
  for (std::size_t i = from; i < to; ++i) {
    samples.insert(samples.end(), {sound.left[i], sound.right[i]});
  }
  meter.add(samples);
  meter.add_silence();
  return meter.loudness().value_or(Lufs{-200.0}).value;
}

// Where sound begins after a second of nothing at all, and where that second begins.
std::vector<std::pair<std::size_t, std::size_t>> stretches(const Recording& sound) {
  std::vector<std::pair<std::size_t, std::size_t>> found = {{0, sound.left.size()}};
  const auto second = static_cast<std::size_t>(sound.rate);
  std::size_t quiet = 0;
  for (std::size_t i = 0; i < sound.left.size(); ++i) {
    if (sound.left[i] == 0.0F) {
      ++quiet;
      continue;
    }
    if (quiet >= second && i > quiet) {
      found.back().second = i - second;
      found.emplace_back(i, sound.left.size());
    }
    quiet = 0;
  }
  return found;
}

TEST(Audition, IsEquallyLoudThroughout) {
  const Bench bench;
  const std::string words =
      " --phrase 1.1 --tempo 200% --amount 200% --soundfont sine.sf2 --reverb off";
  const Ran ran = bench.arsis("audition plan.yaml -o all.wav" + words);
  ASSERT_EQ(ran.code, 0) << ran.err;
  const Recording all = read_recording(bench.path() / "all.wav");
  EXPECT_EQ(all.title, "Lantern Song: phrase 1.1");
  const auto parts = stretches(all);
  ASSERT_EQ(parts.size(), 3u);
  std::vector<double> matched;
  std::vector<double> alone;
  for (std::size_t i = 0; i < 3; ++i) {
    matched.push_back(lufs(all, parts[i].first, parts[i].second));
    ASSERT_EQ(bench.arsis("render feet" + std::to_string(i) + ".yaml -o x.wav" + words).code, 0);
    const Recording one = read_recording(bench.path() / "x.wav");
    alone.push_back(lufs(one, 0, one.left.size()));
  }
  const auto [softest, loudest] = std::ranges::minmax(matched);
  EXPECT_LT(loudest - softest, 0.1);
  const auto [least, most] = std::ranges::minmax(alone);
  EXPECT_GT(most - least, 0.5);      // as they are played they differ
  EXPECT_NEAR(softest, least, 0.1);  // none is turned up
  EXPECT_NE(ran.out.find(" LUFS each\n"), std::string::npos) << ran.out;
}

TEST(Audition, ComesToTheLoudnessThatIsAskedFor) {
  const Bench bench;
  const Ran ran = bench.arsis(
      "audition plan.yaml --phrase 1.1 --tempo 200% --soundfont sine.sf2 --reverb off --loudness "
      "-30 -o all.wav");
  ASSERT_EQ(ran.code, 0) << ran.err;
  EXPECT_TRUE(ran.out.ends_with("  -30.0 LUFS each\n")) << ran.out;
  const Recording all = read_recording(bench.path() / "all.wav");
  for (const auto& [from, to] : stretches(all)) EXPECT_NEAR(lufs(all, from, to), -30.0, 0.1);
  EXPECT_TRUE(bench
                  .arsis("audition plan.yaml --phrase 1.1 --tempo 200% --soundfont sine.sf2 "
                         "--loudness -5 -o all.wav")
                  .out.ends_with(" LUFS each, softer than asked for, because of the peak\n"));
}

struct Row {
  std::string words;
  int code;
  std::string err;
};

const std::vector<Row>& usage_rows() {
  static const std::vector<Row> kRows = {
      {"plan.yaml --motif 1.1.1 -o x.mid", 2,
       "--motif: a motif leads to its last interval in every reading; name its phrase, with "
       "--phrase\n"},
      {"plan.yaml --from 1:1 -o x.mid", 2,
       "--from and --to name no block; write --phrase, --sentence, none of them for the piece, or "
       "--against another plan\n"},
      {"plan.yaml --phrase 1.9 -o x.mid", 2,
       "--phrase: there is no phrase '1.9'; write one as 'arsis check' names it, as in '2.1'\n"},
      {"plan.yaml --phrase 1.1 --sentence 1 -o x.mid", 2,
       "more than one passage is named; write one of --sentence, --phrase, --motif, or --from with "
       "--to\n"},
      {"plan.yaml -o x.txt", 2,
       "the ending of 'x.txt' names no format; use .mid, .wav, .flac, .ogg, .opus or .mp3\n"},
      {"plan.yaml -o x.wav --port piano", 2,
       "-o writes a file, and --port, --driver and --device play now; leave out one or the "
       "other\n"},
      {"plan.yaml --order 3 -o x.wav", 2,
       "--order is that of a blind test; add --blind, or leave it out\n"},
      {"plan.yaml --blind 12 -o x.wav", 2,
       "--blind asks while it plays, and -o writes a file; leave out one or the other\n"},
      {"plan.yaml --blind 0", 2, "--blind cannot be '0'; write how many pairs to hear, 1 to 100\n"},
      {"plan.yaml --blind 1 --order one", 2,
       "--order cannot be 'one'; write a whole number, 0 or above\n"},
      {"plan.yaml --loudness -18", 2,
       "--loudness, --peak and --bits are those of a file; leave them out, or write a file with "
       "-o\n"},
      {"plan.yaml --reverb much", 2, "--reverb cannot be 'much'; write on or off\n"},
      {"plan.yaml -o plan.yaml.mid --against mill.yaml", 1,
       "mill.yaml: is about another score, 'mill-round.mid'; name a plan of 'lantern-song.mid'\n"},
      {"plan.yaml -o lantern-song.mid", 2,
       "lantern-song.mid: is what a performance is made from; name another file to write\n"},
      {"short.yaml --phrase 1.1 -o x.mid", 2,
       "phrase 1.1 has a single member, which leads; name a block of two members or more\n"},
      {"plan.yaml --phrase 1.1 --soundfont none.sf2 -o x.wav", 3, ""}};
  return kRows;
}

TEST(Audition, SaysWhatIsWrongAndWritesNothing) {
  const Bench bench;
  bench.write("mill.yaml",
              "arsis: 1\nscore: mill-round.mid\nmotif: {length: 1 bar, from: 0:6}\n"
              "sentences: [{phrases: [/ u]}]\n");
  bench.write("short.yaml", lantern_plan("motif: {length: 1 bar, from: 0:3}\n"
                                         "sentences: [{phrases: [/, u /], main: 1}]\n"));
  const std::vector<std::string> before = bench.files();
  for (const Row& row : usage_rows()) {
    const Ran ran = bench.arsis("audition " + row.words);
    EXPECT_EQ(ran.code, row.code) << row.words;
    EXPECT_NE(ran.err, "") << row.words;
    EXPECT_TRUE(ran.err.ends_with(row.err)) << row.words << "\n" << ran.err;  // behind warnings
    EXPECT_EQ(ran.out, "") << row.words;
  }
  EXPECT_EQ(bench.files(), before);
  EXPECT_EQ(bench.read("plan.yaml"), lantern_plan(kLanternSentences));
}

TEST(Audition, TellsOfReadingsThatAreHeardAlike) {
  const Bench bench;
  const Ran ran = bench.arsis("audition plan.yaml --sentence 1 --without sentence -o x.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err,
            "warning: 'phrase 1 leads' is heard just as the first one is; what makes them differ "
            "is left out: see --amount, --only and --without\n");
}

TEST(Audition, HearsAtMostTwoDozenReadings) {
  const Bench bench;
  std::string motifs = "/";
  for (int i = 0; i < 24; ++i) motifs += " u";
  bench.write("long.yaml",
              lantern_plan("motif: {length: 1 bar, from: 0:3}\nsentences: [{phrases: [" + motifs +
                           "]}]\n"));
  const Ran ran = bench.arsis("audition long.yaml --phrase 1.1 -o x.mid");
  EXPECT_EQ(ran.code, 2);
  EXPECT_NE(
      ran.err.find("phrase 1.1 has 25 readings; at most 24 are heard in a run: name a smaller "
                   "block, or write the readings in question as plans, for --against\n"),
      std::string::npos)
      << ran.err;
}

TEST(Audition, TakesAScoreAlone) {
  const Bench bench;
  const Ran ran = bench.arsis("audition mill-round.mid --phrase 1.1 -o x.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_NE(ran.out.find(" leads (drafted): "), std::string::npos) << ran.out;
}

}  // namespace
}  // namespace arsis::test
