// Properties of laying a plan's dynamics over a page's, whatever either says.
#include <algorithm>
#include <string>
#include <vector>

#include "plan/plan_text.h"
#include "property.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::holds;

constexpr int kBeats = 16;  // four bars of 4/4

// An entry of one of the four ranks, told apart by the line that it is written in.
struct Written {
  int from = 0;
  int to = 0;
  bool rises = false;
  std::optional<int> step;
  int rank = 0;
  int line = 0;
  bool is_hairpin() const { return to > from; }
};

// Entries of one rank that do not contradict each other, as its reader leaves them.
std::vector<Written> any_entries(int rank) {
  std::vector<Written> entries;
  int at = *rc::gen::inRange(0, 6);
  while (at < kBeats) {
    const int kind = *rc::gen::inRange(0, 4);
    const auto step = [] { return *rc::gen::inRange(-5, 5); };
    const auto line = [&] { return rank * 1000 + static_cast<int>(entries.size()) + 1; };
    if (kind != 1) entries.push_back({at, at, false, step(), rank, line()});
    if (kind != 0) {
      const int to = std::min(at + *rc::gen::inRange(1, 6), kBeats);
      const bool named = *rc::gen::inRange(0, 3) == 0;
      entries.push_back({at, to, *rc::gen::inRange(0, 2) == 1,
                         named ? std::optional(step()) : std::nullopt, rank, line()});
      // A mark where a hairpin ends that names its own is another rank's business.
      at = to + (named ? 1 : 0);
    } else {
      ++at;
    }
    at += *rc::gen::inRange(0, 5);
  }
  return entries;
}

Beats beats(int at) { return {static_cast<double>(at)}; }

WrittenPosition position(int at, bool ends) {
  if (ends && at % 4 == 0) return {{at / 4, 5.0}, {}};  // the end of its bar
  return {{at / 4 + 1, at % 4 + 1.0}, {}};
}

struct Case {
  std::vector<Written> ranks[4];  // page, page of the left hand, plan, plan of the left hand
  Plan plan;
  Printed printed;
};

Case any_case() {
  static const Plan two_hands =
      test::plan_of(test::kWholePlan +
                    "parts: [{name: right hand, role: melody}, {name: left hand, role: bass}]\n");
  Case made;
  made.plan = two_hands;
  for (int rank = 0; rank < 4; ++rank) {
    made.ranks[rank] = any_entries(rank);
    for (const Written& written : made.ranks[rank]) {
      if (rank < 2) {
        made.printed.dynamics.push_back({beats(written.from),
                                         beats(written.to),
                                         written.rises,
                                         written.step,
                                         {rank == 0, true},
                                         rank == 1,
                                         {written.line, 1}});
        continue;
      }
      DynamicPlan dynamic;
      dynamic.from = position(written.from, false);
      if (written.is_hairpin()) dynamic.to = position(written.to, true);
      dynamic.rises = written.rises;
      dynamic.step = written.step;
      dynamic.part = rank == 3 ? "left hand" : "";
      dynamic.place = {written.line, 1};
      made.plan.dynamics.push_back(dynamic);
    }
  }
  std::ranges::stable_sort(made.printed.dynamics, {}, [](const PrintedDynamic& dynamic) {
    return std::pair(dynamic.from, dynamic.from < dynamic.to);
  });
  return made;
}

// Whether the two meet, if only with their ends.
bool meets(const Written& a, const Written& b) { return a.from <= b.to && b.from <= a.to; }

void expect_line(const Case& made, const BoundPlan& bound, std::size_t part) {
  const DynamicLine& line = bound.dynamics[bound.parts[part].dynamics];
  for (std::size_t i = 1; i < line.size(); ++i) {
    RC_ASSERT(line[i - 1].from <= line[i].from);
    RC_ASSERT(line[i - 1].to <= line[i].from);
    const bool two_marks = !line[i - 1].is_hairpin() && !line[i].is_hairpin();
    RC_ASSERT(!two_marks || line[i - 1].from < line[i].from);
  }
  std::vector<int> there;
  for (const DynamicStretch& stretch : line) {
    there.push_back(bound.dynamic_sources[stretch.source].source.place.line);
  }
  const auto is_there = [&](const Written& written) {
    return std::ranges::find(there, written.line) != there.end();
  };
  // The highest rank is there as a whole; of a lower one is missing only what meets a higher.
  std::size_t expected = 0;
  std::vector<Written> higher;
  for (const int rank : {3, 2, 1, 0}) {
    if (part == 0 && rank % 2 == 1) continue;  // the left hand's
    std::vector<Written> taken;
    for (const Written& written : made.ranks[rank]) {
      if (is_there(written)) {
        taken.push_back(written);
        continue;
      }
      RC_ASSERT(
          std::ranges::any_of(higher, [&](const Written& other) { return meets(written, other); }));
    }
    expected += taken.size();
    higher.insert(higher.end(), taken.begin(), taken.end());
  }
  RC_ASSERT(line.size() == expected);
}

TEST(BindPageProperties, LinesAreInOrderAndLackOnlyWhatAHigherRankContradicts) {
  const Score score = test::score_of(
      test::ScoreText{.parts = {test::repeated("C5", kBeats), test::repeated("C3", kBeats)},
                      .names = {"right hand", "left hand"}});
  EXPECT_TRUE(holds(5'000, [&] {
    const Case made = any_case();
    const Result<BoundPlan> bound = bind_plan(made.plan, score, made.printed);
    RC_ASSERT(static_cast<bool>(bound));
    expect_line(made, *bound, 0);
    expect_line(made, *bound, 1);
  }));
}

}  // namespace
}  // namespace arsis
