// `arsis page` from outside: what it writes, what it leaves alone, what it says.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "tool/lantern_steps.h"
#include "tool/refusals.h"
#include "tool/run_arsis.h"
#include "tool/small_midi.h"

namespace arsis::test {
namespace {

struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    write("plan.yaml", lantern_plan(kLanternSentences));
    write("steps.musicxml", lantern_steps());
    write("drums.mid", drum_beat());
    write("one.mid", small_midi({{0, 60, 1}}, 0));
  }
};

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++found;
  }
  return found;
}

TEST(PageCommand, WritesEachKindOfPageByItsEnding) {
  const Bench bench;
  const std::string begins[] = {"<svg ", "%PDF-", "\x89PNG"};
  const std::string endings[] = {"svg", "PDF", "png"};
  for (int i = 0; i < 3; ++i) {
    const std::string name = "page." + endings[i];
    SCOPED_TRACE(name);
    const Ran ran = bench.arsis("page plan.yaml -o " + name);
    EXPECT_EQ(ran.code, 0);
    EXPECT_EQ(ran.err, "");
    EXPECT_EQ(ran.out, "wrote " + name + "\n");
    const std::string first = bench.read(name);
    EXPECT_TRUE(first.starts_with(begins[i]));
    EXPECT_EQ(bench.arsis("page plan.yaml -o " + name).code, 0);
    EXPECT_EQ(bench.read(name), first);
  }
}

TEST(PageCommand, DrawsScoresOfEachKindWithoutAPlan) {
  const Bench bench;
  for (const char* score : {"lantern-song.mid", "steps.musicxml", "drums.mid", "one.mid"}) {
    SCOPED_TRACE(score);
    const Ran ran = bench.arsis("page " + std::string(score) + " -o page.svg");
    EXPECT_EQ(ran.code, 0) << ran.err;
    EXPECT_NE(bench.read("page.svg").find("class=\"bar last\""), std::string::npos);
  }
}

TEST(PageCommand, DrawsATakeOverThePlan) {
  const Bench bench;
  bench.arsis("render plan.yaml --amount 0% --tempo 80% -o take.mid");
  const Ran ran = bench.arsis("page plan.yaml --take take.mid -o page.svg");
  EXPECT_EQ(ran.code, 0) << ran.err;
  const std::string page = bench.read("page.svg");
  EXPECT_GT(count(page, "class=\"level-line second\""), 0u);
  EXPECT_GT(count(page, "class=\"tempo second\""), 0u);
  EXPECT_EQ(count(page, "take.mid (80 % of the tempo)"), 1u);
  EXPECT_EQ(count(page, "the plan"), 1u);

  bench.write("other.mid", one_track_piano());
  const Ran other = bench.arsis("page plan.yaml --take other.mid -o other.svg");
  EXPECT_EQ(other.code, 1);
  EXPECT_NE(other.err.find("other.mid: is no take of 'Lantern Song'"), std::string::npos)
      << other.err;
  bench.arsis("render plan.yaml -o take.svg.mid");
  std::filesystem::rename(bench.path() / "take.svg.mid", bench.path() / "take.svg");
  const Ran same = bench.arsis("page plan.yaml --take take.svg -o take.svg");
  EXPECT_EQ(same.code, 2);
  EXPECT_EQ(bench.has("other.svg"), false);
}

TEST(PageCommand, DrawsAPassageAndNoMore) {
  const Bench bench;
  const auto phrases = [&](const std::string& words) {
    EXPECT_EQ(bench.arsis("page plan.yaml -o page.svg " + words).code, 0) << words;
    return count(bench.read("page.svg"), "class=\"block phrase");
  };
  EXPECT_EQ(phrases(""), 15u);
  EXPECT_EQ(phrases("--sentence 2"), 3u);
  EXPECT_EQ(phrases("--phrase 2.1"), 1u);
  EXPECT_EQ(phrases("--from 6:3 --to 10:3"), 2u);
}

TEST(PageCommand, SaysTheEvidenceOnRequest) {
  const Bench bench;
  EXPECT_EQ(bench.arsis("page plan.yaml -o page.svg").code, 0);
  EXPECT_EQ(count(bench.read("page.svg"), "class=\"remark\""), 0u);
  EXPECT_EQ(bench.arsis("page plan.yaml --evidence -o page.svg").code, 0);
  const std::string page = bench.read("page.svg");
  EXPECT_NE(page.find(">motif 2 leads, G over C sharp on the beat, "), std::string::npos);
}

TEST(PageCommand, TellsFlatFromShaped) {
  const Bench bench;
  std::vector<std::string> pages;
  for (const char* words : {"", "--amount 0%", "--only phrase", "--without phrase"}) {
    EXPECT_EQ(bench.arsis("page plan.yaml -o page.svg " + std::string(words)).code, 0);
    for (const std::string& page : pages) EXPECT_NE(bench.read("page.svg"), page) << words;
    pages.push_back(bench.read("page.svg"));
  }
}

const test::Refusal kMistakes[] = {
    {"page plan.yaml -o page.doc", 2,
     "the ending of 'page.doc' names no kind of page; use .svg, .pdf, .png or .html\n"},
    {"page plan.yaml -o page.svg --paper a5", 2, "--paper cannot be 'a5'; write a4 or letter\n"},
    {"page plan.yaml -o page.svg --amount 300%", 2,
     "--amount cannot be '300%'; write 0% to 200%\n"},
    {"page plan.yaml -o page.svg --sentence 9", 2,
     "--sentence: there is no sentence '9'; write one as 'arsis check' names it, as in '2'\n"},
    {"page plan.yaml -o nowhere/page.svg", 1, ""},
    {"page gone.yaml -o page.svg", 1, ""},
};

TEST(PageCommand, SaysWhatIsWrongAndWritesNothing) {
  const Bench bench;
  test::expect_refused(bench, kMistakes);
}

TEST(PageCommand, NeverWritesOverWhatItIsDrawnFrom) {
  const Bench bench;
  bench.write("plan.svg", lantern_plan(kLanternSentences));
  const Ran ran = bench.arsis("page plan.svg -o ./plan.svg");
  EXPECT_EQ(ran.code, 2);
  EXPECT_EQ(ran.err, "./plan.svg: is what the page is drawn from; name another file to write\n");
  EXPECT_EQ(bench.read("plan.svg"), lantern_plan(kLanternSentences));
}

}  // namespace
}  // namespace arsis::test
