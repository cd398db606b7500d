// `arsis lesson` from outside: what it writes, that it goes on where it was broken off, what it
// says.
#include "tool/lesson.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "sound/recording.h"
#include "tool/lesson_bench.h"
#include "tool/refusals.h"
#include "tool/small_midi.h"

namespace arsis::test {
namespace {

std::string lesson(const std::string& words) { return "lesson plan.yaml" + (kQuickLesson + words); }

TEST(Lesson, WritesAClipForEachQuestionWithNoMoreThanItsNumber) {
  const LessonBench bench;
  for (const std::string format : {"mp3", "wav"}) {
    const Ran ran = bench.arsis(lesson("-o " + format + " --questions 6 --format " + format));
    ASSERT_EQ(ran.code, 0) << ran.err;
    EXPECT_EQ(ran.err, "");
    EXPECT_NE(ran.out.find("wrote " + format + ": 6 questions (order 1, sine.sf2)\n"),
              std::string::npos)
        << ran.out;
    EXPECT_FALSE(bench.has(format + "/unfinished"));
    for (int i = 1; i <= 6; ++i) {
      const std::string number = "0" + std::to_string(i);
      const Recording clip =
          read_recording(bench.path() / format / "clips" / (number + "." + format));
      EXPECT_EQ(clip.rate, 24'000) << i;
      EXPECT_EQ(clip.title, number);
      EXPECT_EQ(clip.album + clip.comment, "");
    }
    EXPECT_FALSE(bench.has(format + "/clips/07." + format));
  }
}

TEST(Lesson, WritesSheetsForTheStudentsAndAKey) {
  const LessonBench bench;
  ASSERT_EQ(bench.arsis(lesson("-o set --questions 4 --title 'Class <4>' --paper letter")).code, 0);
  for (const std::string name : {"student", "key"}) {
    EXPECT_TRUE(bench.read("set/" + name + ".pdf").starts_with("%PDF-"));
    const std::string html = bench.read("set/" + name + ".html");
    EXPECT_NE(html.find("<h1>Class &lt;4&gt;</h1>"), std::string::npos);
    EXPECT_NE(html.find("Lantern Song, bars "), std::string::npos);
    EXPECT_EQ(html.find("☒") != std::string::npos, name == "key");
  }
  const std::string page = bench.read("set/lesson.html");
  EXPECT_NE(page.find("Class &lt;4&gt;"), std::string::npos);
  // A sound for every choice: as many as there are boxes to tick.
  const auto count = [](const std::string& text, const std::string& part) {
    int found = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
  };
  EXPECT_EQ(count(page, "class=\"sound\""), count(bench.read("set/student.html"), "☐"));
}

TEST(Lesson, MakesTheSameSetOfTheSameWordsAndAnotherOfAnotherOrder) {
  const LessonBench bench;
  for (const char* words :
       {"-o a --questions 4", "-o b --questions 4 --order 1", "-o c --questions 4 --order 2"}) {
    ASSERT_EQ(bench.arsis(lesson(words)).code, 0) << words;
  }
  const auto a = bench.all_of("a");
  EXPECT_GE(a.size(), 5u);
  EXPECT_EQ(a, bench.all_of("b"));
  EXPECT_NE(a, bench.all_of("c"));
}

// Killed in the middle, where no handler can tidy up, and by the signals that have one.
TEST(Lesson, GoesOnWhereItWasBrokenOff) {
  const LessonBench bench;
  const std::string words = "--questions 8 --format wav";
  ASSERT_EQ(bench.arsis(lesson("-o unbroken " + words)).code, 0);
  const auto unbroken = bench.all_of("unbroken");
  for (const std::string signal : {"KILL", "INT"}) {
    SCOPED_TRACE(signal);
    bench.arsis(lesson("-o " + signal + " " + words) + " & while ! [ -e " + signal +
                "/clips/03.wav ] && kill -0 $!; do sleep 0.005; done; kill -" + signal +
                " $!; wait $!");
    ASSERT_TRUE(bench.has(signal + "/clips/03.wav"));
    ASSERT_FALSE(bench.has(signal + "/clips/08.wav"));
    EXPECT_NE(bench.read(signal + "/set.txt").find("not whole yet"), std::string::npos);
    const auto before = std::filesystem::last_write_time(bench.path() / signal / "clips/01.wav");
    const Ran ran = bench.arsis(lesson("-o " + signal + " " + words));
    EXPECT_EQ(ran.code, 0) << ran.err;
    EXPECT_NE(ran.out.find("of them from before"), std::string::npos) << ran.out;
    EXPECT_EQ(std::filesystem::last_write_time(bench.path() / signal / "clips/01.wav"), before);
    EXPECT_EQ(bench.all_of(signal), unbroken);
  }
}

// What was finished is not taken on trust.
TEST(Lesson, MakesAgainWhatWasChangedMeanwhile) {
  const LessonBench bench;
  const std::string words = "--questions 5 --format wav";
  ASSERT_EQ(bench.arsis(lesson("-o unbroken " + words)).code, 0);
  bench.arsis(lesson("-o set " + words) +
              " & while ! [ -e set/unfinished/03 ] && kill -0 $!; do sleep 0.005; done; kill $!; "
              "wait $!");
  ASSERT_TRUE(bench.has("set/unfinished/03"));
  bench.write("set/clips/01.wav", "no clip");
  std::string part = bench.read("set/unfinished/02");
  part[part.size() / 2] ^= 1;
  bench.write("set/unfinished/02", part);
  EXPECT_EQ(bench.arsis(lesson("-o set " + words)).code, 0);
  EXPECT_EQ(bench.all_of("set"), bench.all_of("unbroken"));
}

TEST(Lesson, LeavesAWholeSetAloneAndMakesWhatIsMissing) {
  const LessonBench bench;
  ASSERT_EQ(bench.arsis(lesson("-o set --questions 3")).code, 0);
  const auto before = bench.all_of("set");
  const Ran again = bench.arsis(lesson("-o set --questions 3"));
  EXPECT_EQ(again.code, 0);
  EXPECT_EQ(again.out, "set is whole already: 3 questions (order 1, sine.sf2)\n");
  // As a run leaves it that is killed when all is written.
  std::filesystem::create_directory(bench.path() / "set/unfinished");
  bench.write("set/unfinished/02", "kept");
  EXPECT_EQ(bench.arsis(lesson("-o set --questions 3")).out, again.out);
  EXPECT_FALSE(std::filesystem::exists(bench.path() / "set/unfinished"));
  std::filesystem::remove(bench.path() / "set/clips/02.mp3");
  EXPECT_EQ(bench.arsis(lesson("-o set --questions 3")).code, 0);
  EXPECT_EQ(bench.all_of("set"), before);
}

TEST(Lesson, KeepsAnotherSetUnlessItIsToldOtherwise) {
  const LessonBench bench;
  ASSERT_EQ(bench.arsis(lesson("-o set --questions 5 --format wav")).code, 0);
  bench.write("set/clips/mine.wav", "mine");
  const auto before = bench.all_of("set");
  for (const char* words : {"--questions 4", "--questions 5 --order 2", "--questions 5"}) {
    const Ran ran = bench.arsis(lesson(std::string("-o set ") + words));
    EXPECT_EQ(ran.code, 2);
    EXPECT_EQ(ran.err,
              "set: holds another set; name another folder, give the words of that set again, or "
              "add --force to replace it\n");
  }
  EXPECT_EQ(bench.all_of("set"), before);
  bench.write("plan.yaml", bench.read("plan.yaml") + "# changed\n");
  EXPECT_EQ(bench.arsis(lesson("-o set --questions 5 --format wav")).code, 2);

  EXPECT_EQ(bench.arsis(lesson("-o set --questions 3 --force")).code, 0);
  EXPECT_EQ(bench.read("set/clips/mine.wav"), "mine");
  EXPECT_FALSE(bench.has("set/clips/05.wav"));
  EXPECT_TRUE(bench.has("set/clips/03.mp3"));
}

TEST(Lesson, WritesOverNoFileOfItsNames) {
  const LessonBench bench;
  std::filesystem::create_directories(bench.path() / "set/clips");
  const Ran clips = bench.arsis(lesson("-o set --questions 2"));
  EXPECT_EQ(clips.code, 2);
  EXPECT_EQ(clips.err,
            "set/clips: is there already; name another folder, or add --force to replace it\n");
  bench.write("set/clips/07.wav", "mine");
  EXPECT_EQ(bench.arsis(lesson("-o set --questions 2 --force")).code, 0);
  EXPECT_EQ(bench.read("set/clips/07.wav"), "mine");  // no set's
}

const test::Refusal kRefused[] = {
    {"-o set --questions 0", 2, "--questions cannot be '0'; write how many to ask, 1 to 200\n"},
    {"-o set --questions 201", 2, "--questions cannot be '201'; write how many to ask, 1 to 200\n"},
    {"-o set --kinds motif-lead", 2, "--kinds cannot be 'motif-lead'; did you mean motif-leads?\n"},
    {"-o set --kinds colours", 2,
     "--kinds cannot be 'colours'; write motif-leads, phrase-leads, flat-or-shaped, "
     "level-missing, phrase-ends or diminuendo\n"},
    {"-o set --kinds diminuendo,diminuendo", 2,
     "--kinds cannot be 'diminuendo'; write each kind once\n"},
    {"-o set --amount 0%", 2,
     "--amount cannot be '0%'; write 1% to 200%; of nothing nothing is heard\n"},
    {"-o set --amount 200%,100%,50%", 2,
     "--amount has 3 shares; write that of the first question and that of the last, 200%,50%\n"},
    {"-o set --order x", 2, "--order cannot be 'x'; write a whole number, 0 or above\n"},
    {"-o set --paper a3", 2, "--paper cannot be 'a3'; write a4 or letter\n"},
    {"-o set --staff maybe", 2, "--staff cannot be 'maybe'; write on or off\n"},
    {"-o set --format ogg", 2,
     "--format cannot be 'ogg'; write mp3 or wav: of the others the size tells how much sounds in "
     "a clip\n"},
    {"-o set --rate 44100", 2,
     "--rate cannot be '44100'; write 24000 or 48000, which the page takes, too\n"},
    {"-o set --bits 16", 2,
     "clip.mp3: this format has no bit depth; name none, or write .wav or .flac\n"},
    {"-o plan.yaml", 1, "plan.yaml: is no folder; name a folder, a new one is best\n"},
    {"-o none/set", 1,
     "none/set: cannot be made (No such file or directory); name a folder where one can be made\n"},
    {"-o set --soundfont none.sf2", 3, ""},
};

TEST(Lesson, SaysWhatWouldBeAccepted) {
  const LessonBench bench;
  std::vector<test::Refusal> rows;
  for (const auto& [words, code, said] : kRefused) {
    const bool is_bare =
        words.find("--rate") != std::string::npos || words.find("--soundfont") != std::string::npos;
    rows.push_back({is_bare ? "lesson plan.yaml " + words : lesson(words), code, said});
  }
  test::expect_refused(bench, rows);
}

TEST(Lesson, SaysWhatAPlanWouldNeed) {
  const LessonBench bench;
  bench.write("drums.mid", drum_beat());
  const Ran ran = bench.arsis("lesson drums.mid -o set --soundfont sine.sf2");
  EXPECT_EQ(ran.code, 1);
  EXPECT_NE(
      ran.err.find("drums.mid: has no passage that such a question can be asked of; for "
                   "motif-leads and phrase-ends a plan needs phrases of two or more motifs, "),
      std::string::npos)
      << ran.err;
  EXPECT_FALSE(bench.has("set"));
}

TEST(Lesson, SaysWhichKindsItMakesDoWithout) {
  const LessonBench bench;
  bench.write("plan.yaml", lantern_plan(kLanternSentences));
  const Ran ran = bench.arsis(lesson("-o set --questions 2 --kinds diminuendo,flat-or-shaped"));
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "warning: no passage is there for diminuendo; the set is made without it\n");
}

TEST(Lesson, DrawsItsQuestionsFromSeveralPlans) {
  const LessonBench bench;
  copy_demo(bench, "mill-round.mid");
  const Ran ran = bench.arsis("lesson plan.yaml mill-round.mid -o set --questions 12 " +
                              std::string(kQuickLesson));
  EXPECT_EQ(ran.code, 0) << ran.err;
  const std::string sheet = bench.read("set/student.html");
  EXPECT_NE(sheet.find("Lantern Song, bars "), std::string::npos);
  EXPECT_NE(sheet.find("Mill Round, bars "), std::string::npos);
}

TEST(Lesson, StopsWhereThereIsNoRoomAndGoesOnLater) {
  const LessonBench bench;
  const std::string words = "-o set --questions 3 --format wav";
  const Ran full = bench.arsis(lesson(words), "sh -c 'ulimit -f 64; exec \"$0\" \"$@\"'");
  EXPECT_EQ(full.code, 1);
  EXPECT_NE(full.err.find("cannot be written (File too large)"), std::string::npos) << full.err;
  EXPECT_EQ(bench.arsis(lesson(words)).code, 0);
  ASSERT_EQ(bench.arsis(lesson("-o other --questions 3 --format wav")).code, 0);
  EXPECT_EQ(bench.all_of("set"), bench.all_of("other"));
}

// A key beside clips that it does not belong to would mark a class wrongly.
TEST(Lesson, LeavesNoPaperOfAnotherSetBesideItsClips) {
  const LessonBench bench;
  ASSERT_EQ(bench.arsis(lesson("-o set --questions 2")).code, 0);
  ASSERT_TRUE(bench.has("set/key.pdf"));
  bench.write("set/notes.txt", "mine");
  const Ran broken = bench.arsis(lesson("-o set --questions 2 --order 2 --format wav --force"),
                                 "sh -c 'ulimit -f 64; exec \"$0\" \"$@\"'");
  EXPECT_EQ(broken.code, 1);
  for (const char* paper : {"student.pdf", "student.html", "key.pdf", "key.html", "lesson.html"}) {
    EXPECT_FALSE(bench.has(std::string("set/") + paper)) << paper;
  }
  EXPECT_EQ(bench.read("set/notes.txt"), "mine");
}

}  // namespace
}  // namespace arsis::test
