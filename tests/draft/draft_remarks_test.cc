// What a draft says of itself: short, in a musician's words, with the doubt where it belongs.
#include "draft/draft_remarks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "plan/plan_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

Candidate candidate(double contour, const std::string& contour_words, double rhythm,
                    const std::string& rhythm_words) {
  Candidate made;
  made.findings[index_of(Feature::kContour)] = {contour, contour_words};
  made.findings[index_of(Feature::kRhythm)] = {rhythm, rhythm_words};
  made.total = contour * 0.5 + rhythm * 0.4;
  return made;
}

Choice choice_of(std::vector<Candidate> candidates, std::size_t main, double margin) {
  Choice choice;
  choice.candidates = std::move(candidates);
  choice.main = main;
  choice.margin = margin;
  choice.doubtful = margin < kDoubt;
  choice.by_pattern = margin < 0.0;
  return choice;
}

TEST(DraftRemarks, SayWhatLeadsAndWhy) {
  const Candidate peak = candidate(1.0, "peak of the phrase", 0.2, "longest note");
  const Candidate plain = candidate(-1.0, "", -0.2, "");
  EXPECT_EQ(choice_words(choice_of({plain, peak}, 1, 1.16)),
            "2 leads, peak of the phrase, longest note");
  EXPECT_EQ(choice_words(choice_of({peak, plain}, 0, 1.16)),
            "1 leads, peak of the phrase, longest note");
  EXPECT_EQ(choice_words(choice_of({peak}, 0, 0.0)), "");
}

TEST(DraftRemarks, NameTheRunnerUpWhereTheChoiceIsInDoubt) {
  const Candidate peak = candidate(0.5, "peak of the phrase", -0.5, "");
  const Candidate longest = candidate(-0.5, "", 0.5, "longest note");
  const Candidate neither = candidate(-1.0, "", -1.0, "");
  EXPECT_EQ(choice_words(choice_of({neither, peak, longest}, 1, 0.1)),
            "2 leads, peak of the phrase; 3 is 0.10 behind (longest note)");
  EXPECT_EQ(choice_words(choice_of({neither, peak, longest}, 2, -0.1)),
            "3 leads as in its neighbours, longest note; 2 is 0.10 ahead (peak of the phrase)");
}

TEST(DraftRemarks, GiveOneReasonWhereTwoAreTooLongForALine) {
  const std::string long_words(60, 'x');
  const Candidate both = candidate(1.0, long_words, 1.0, "longest note");
  EXPECT_EQ(reason_of(choice_of({both, candidate(0.0, "", 0.0, "")}, 0, 1.0)), long_words);
}

struct Page {
  std::vector<std::string> lines;
  std::size_t longest = 0;
};

Page page_of(const std::string& name, bool why) {
  const Result<Score> score =
      read_score(std::filesystem::path(ARSIS_SOURCE_DIR) / "examples" / (name + ".mid"));
  EXPECT_TRUE(score);
  std::optional<Draft> draft = draft_of(*score, {}, false, {.cell = {}, .count = 2});
  EXPECT_TRUE(draft);
  if (!why) {
    draft->structures.resize(1);
    draft->others.clear();
  }
  std::string text = plan_text(draft->plan, remarks_of(*draft, why));
  Page page;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    page.lines.push_back(text.substr(at, end - at));
    page.longest = std::max(page.longest, end - at);
    at = end + 1;
  }
  return page;
}

// A page of paper has some sixty lines, a screen some hundred and sixty columns.
TEST(DraftRemarks, FitAPieceOfThirtyTwoBarsOnAPage) {
  for (const std::string name : {"lantern-song", "ferry-study", "mill-round"}) {
    const Page page = page_of(name, false);
    EXPECT_LE(page.lines.size(), 60u) << name;
    EXPECT_LE(page.longest, 180u) << name;
  }
}

TEST(DraftRemarks, MarkDoubtsAndPlaces) {
  const Page page = page_of("mill-round", false);
  const auto has = [&](const std::string& beginning) {
    return std::ranges::any_of(
        page.lines, [&](const std::string& line) { return line.starts_with(beginning); });
  };
  EXPECT_TRUE(has("  # ? 1 at 0:6 (the piece begins): phrase "));
  EXPECT_TRUE(has("  #     1.2 at 2:6 (long note before it, same rhythm as 0:6): motif 2 leads"));
  EXPECT_TRUE(std::ranges::any_of(page.lines, [](const std::string& line) {
    return line.ends_with("; feminine ending: 1, 2");
  }));
}

TEST(DraftRemarks, TellAllScoresWhereAskedWhy) {
  const Page page = page_of("mill-round", true);
  const std::string head =
      "  #                   written dynamics articulation harmony contour rhythm repetition  "
      "total";
  const auto found = std::ranges::find(page.lines, head);
  ASSERT_NE(found, page.lines.end());
  EXPECT_TRUE((found + 1)->starts_with("  #        phrase 1 ")) << *(found + 1);
  EXPECT_EQ((found + 1)->size(), head.size());
  EXPECT_TRUE(std::ranges::any_of(page.lines, [](const std::string& line) {
    return line.starts_with("  #         motif 1: feminine ending: E5 at 1:4, after the stronger");
  }));
}

// Taken from behind its '#', the other structure is a plan's.
TEST(DraftRemarks, TellAnotherStructureReadyToBeTaken) {
  const Page page = page_of("lantern-song", true);
  const auto found = std::ranges::find_if(page.lines, [](const std::string& line) {
    return line.starts_with("# Another structure, 2 of 2 (worth ");
  });
  ASSERT_NE(found, page.lines.end());
  EXPECT_TRUE(std::ranges::any_of(found, page.lines.end(), [](const std::string& line) {
    return line.starts_with("# motif: {length: 1 bar, from: 0:3}");
  }));
  EXPECT_TRUE(std::ranges::any_of(found, page.lines.end(), [](const std::string& line) {
    return line.starts_with("#   - {phrases: [");
  }));
}

}  // namespace
}  // namespace arsis
