// Whole drafts: of our own scores, of odd ones, and what they say of themselves.
#include "draft/draft.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <set>
#include <string>

#include "draft/draft_remarks.h"
#include "draft/random_score.h"
#include "plan/plan_reader.h"
#include "plan/plan_writer.h"
#include "score_builder.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

using test::holds;
using test::repeated;
using test::score_of;
using test::ScoreText;

Score demo_score(const std::string& name) {
  Result<Score> score =
      read_score(std::filesystem::path(ARSIS_SOURCE_DIR) / "examples" / (name + ".mid"));
  EXPECT_TRUE(score) << name;
  return score ? *std::move(score) : Score{};
}

// The drafted plan as it would be written and read again; its warnings, too.
Result<Plan> read_again(const Draft& draft, bool why) {
  Plan plan = draft.plan;
  plan.score = "x.mid";
  return parse_plan(plan_text(plan, remarks_of(draft, why)), "p");
}

TEST(Draft, OfOurOwnPiecesLeavesNothingToComplainOf) {
  for (const std::string name : {"lantern-song", "ferry-study", "mill-round"}) {
    SCOPED_TRACE(name);
    const std::optional<Draft> draft = draft_of(demo_score(name), {}, false, {});
    ASSERT_TRUE(draft);
    const Result<Plan> plan = read_again(*draft, true);
    ASSERT_TRUE(plan) << to_string(plan.diagnostics().front());
    EXPECT_TRUE(plan.diagnostics().empty());
    const Result<BoundPlan> bound = bind_plan(*plan, draft->score);
    ASSERT_TRUE(bound);
    EXPECT_TRUE(bound.diagnostics().empty()) << to_string(bound.diagnostics().front());
    EXPECT_EQ(bound->motifs.size(), draft->landings.size());
  }
}

std::set<double> begins(const std::vector<Block>& blocks) {
  std::set<double> moments;
  for (const Block& block : blocks) moments.insert(block.span.begin.value);
  return moments;
}

struct Tally {
  std::size_t same = 0;
  std::size_t drafted = 0;
  std::size_t planned = 0;
};

void compare(const std::vector<Block>& drafted, const std::vector<Block>& planned, Tally& blocks,
             Tally& mains) {
  const std::set<double> ours = begins(planned);
  for (const double at : begins(drafted)) blocks.same += ours.contains(at) ? 1 : 0;
  blocks.drafted += drafted.size();
  blocks.planned += planned.size();
  // Of blocks that are the same stretch, with several members: whether the same one leads.
  for (const Block& a : drafted) {
    for (const Block& b : planned) {
      if (a.span != b.span || a.count < 2 || a.count != b.count) continue;
      ++mains.planned;
      mains.same += a.main - a.first == b.main - b.first ? 1 : 0;
    }
  }
}

// The plans were written by us, by ear and before the drafts; two readings can both be right.
TEST(Draft, AgreesWithOurOwnPlansWhereItCan) {
  std::array<Tally, 3> blocks;
  Tally mains;
  for (const std::string name : {"lantern-song", "ferry-study", "mill-round"}) {
    const Result<Plan> plan =
        read_plan(std::filesystem::path(ARSIS_SOURCE_DIR) / "plans" / (name + ".yaml"));
    ASSERT_TRUE(plan);
    const Score score = demo_score(name);
    const Result<BoundPlan> planned = bind_plan(*plan, score);
    ASSERT_TRUE(planned);
    const std::optional<Draft> draft = draft_of(score, {}, false, {});
    ASSERT_TRUE(draft);
    const Result<BoundPlan> drafted = bind_plan(draft->plan, draft->score);
    ASSERT_TRUE(drafted);
    Tally none;
    compare(drafted->motifs, planned->motifs, blocks[0], none);
    compare(drafted->phrases, planned->phrases, blocks[1], mains);
    compare(drafted->sentences, planned->sentences, blocks[2], mains);
  }
  const char* const levels[] = {"motifs", "phrases", "sentences"};
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    std::printf("%s: %zu of the %zu drafted begin where one of our %zu does\n", levels[i],
                blocks[i].same, blocks[i].drafted, blocks[i].planned);
  }
  std::printf("mains: %zu of %zu the same, of blocks that are the same\n", mains.same,
              mains.planned);
  EXPECT_EQ(blocks[0].same, blocks[0].planned);
  EXPECT_GE(blocks[1].same * 10, blocks[1].planned * 8);
  EXPECT_GE(blocks[2].same * 10, blocks[2].planned * 7);
  EXPECT_GE(mains.same * 10, mains.planned * 6);
}

TEST(Draft, IsNoneWhereThereIsNothingToShape) {
  Score drums = score_of(repeated("C3", 16));
  EXPECT_TRUE(draft_of(drums, {}, false, {}));
  drums.parts[0].channel = kDrumChannel;
  EXPECT_FALSE(draft_of(drums, {}, false, {}));
  const Score tune = score_of(repeated("C5", 16));
  StructureWishes late;
  late.cell = Cell{Beats{4.0}, Beats{100.0}};
  EXPECT_FALSE(draft_of(tune, {}, false, late));
}

TEST(Draft, OfASingleNoteIsASingleMotif) {
  const std::optional<Draft> draft = draft_of(score_of("C5"), {}, false, {});
  ASSERT_TRUE(draft);
  EXPECT_EQ(draft->landings.size(), 1u);
  const Result<Plan> plan = read_again(*draft, true);
  ASSERT_TRUE(plan);
  EXPECT_TRUE(bind_plan(*plan, draft->score));
}

TEST(Draft, KeepsThePartsOfAPage) {
  const Score both = score_of(repeated("C3+G3+C5+E5", 16));
  EXPECT_EQ(draft_of(both, {}, false, {})->plan.parts.size(), 2u);
  const std::optional<Draft> of_page = draft_of(both, {}, true, {});
  ASSERT_EQ(of_page->plan.parts.size(), 1u);
  EXPECT_EQ(of_page->plan.parts[0].hand, Hand::kBoth);
}

// With hands, alternatives and all remarks.
TEST(Draft, OfAnyScoreIsReadBackAndBound) {
  EXPECT_TRUE(holds(300, [] {
    const Score score = test::random_score();
    const Bar& first = score.bars.all().front();
    RC_PRE(first.span.length() <=
           first.signature.bar_length());  // no plan may have a longer pickup
    StructureWishes wishes;
    wishes.count = 3;
    const std::optional<Draft> draft = draft_of(score, {}, false, wishes);
    RC_ASSERT(draft.has_value());
    const Result<Plan> plan = read_again(*draft, *rc::gen::arbitrary<bool>());
    if (!plan) RC_FAIL(to_string(plan.diagnostics().front()));
    const Score parted = with_plan_hands(score, *plan);
    RC_ASSERT(parted.parts.size() == draft->score.parts.size());
    const Result<BoundPlan> bound = bind_plan(*plan, parted);
    if (!bound) RC_FAIL(to_string(bound.diagnostics().front()));
    const std::vector<Span>& motifs = draft->structures.front().structure.motifs;
    RC_ASSERT(bound->motifs.size() == motifs.size());
    for (std::size_t i = 0; i < motifs.size(); ++i) {
      RC_ASSERT(std::abs((bound->motifs[i].span.begin - motifs[i].begin).value) < 1e-6);
      RC_ASSERT(std::abs((bound->motifs[i].span.end - motifs[i].end).value) < 1e-6);
    }
    for (std::size_t i = 0; i < bound->phrases.size(); ++i) {
      RC_ASSERT(bound->phrases[i].main - bound->phrases[i].first == draft->mains.phrases[i].main);
    }
  }));
}

}  // namespace
}  // namespace arsis
