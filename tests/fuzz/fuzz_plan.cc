// Any bytes at all, read as a plan, laid over two small scores and a page, and performed.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/perform.h"

namespace {

using namespace arsis;

void demand(bool holds) {
  if (!holds) std::abort();
}

// A waltz with a pickup for two hands, with chords, repeated keys, rests and tempo changes.
const Score& waltz() {
  static const Score score = test::score_of(test::ScoreText{
      .parts =
          {"G4 C5 D5 E5 E5/0.5 E5/0.5 F5 G5+C5/3 r G5 A5/1.5 G5/0.5 F5 E5/0.333333 D5/0.333333 "
           "C5/0.333333 D5 G4 C5+E5/3 A4 B4 C5 D5 E5/2 r D5/2 C5/5",
           "r C3/3 G3 G3 G3 C3/3 r/3 F3 A3 C4 G3/3 C3+E3/3 F3/3 G3/3 G2/3 C3/4"},
      .names = {"right hand", "left hand"},
      .signatures = {{{0.0}, {3, 4}}},
      .tempo = {{{0.0}, 600'000}, {{13.0}, 500'000}, {{25.0}, 700'000}},
      .pickup = Beats{1.0}});
  return score;
}

// One part, changing meters, a bar cut short, velocities of its own.
const Score& meters() {
  static const Score score = test::score_of(test::ScoreText{
      .parts =
          {"C5!40 D5!60 E5!80 F5!100 G5/0.5!127 A5/0.5!1 B5/0.5 C6/3 @9 C4/8 @10 E4 F4 G4/0.25 "
           "A4/0.25 B4/0.5 C5/2 D5 E5/6"},
      .signatures = {{{0.0}, {4, 4}}, {{4.0}, {7, 8}}, {{7.5}, {4, 4}}, {{9.0}, {2, 4}}},
      .division = 96});
  return score;
}

// What a page of the waltz might print.
const Printed& waltz_page() {
  static const Printed printed = [] {
    Printed page;
    page.file = "page";
    page.dynamics = {{{0.0}, {0.0}, false, 0, {true, true}, false, {1, 1}},
                     {{4.0}, {7.0}, true, {}, {true, true}, false, {2, 1}},
                     {{7.0}, {7.0}, false, 1, {true, true}, false, {3, 1}},
                     {{10.0}, {10.0}, false, -2, {false, true}, true, {4, 1}},
                     {{13.0}, {16.0}, false, -3, {true, true}, false, {5, 1}}};
    page.marks = {{Mark::kStaccato, 0, {6, 1}},
                  {Mark::kFermata, 3, {7, 1}},
                  {Mark::kFortePiano, 8, {8, 1}},
                  {Mark::kTenuto, 8, {9, 1}}};
    const Note& held = waltz().notes[3];
    page.fermatas = {{{held.onset, held.end}, {7, 1}}};
    page.breaths = {{{13.0}, {true, false}, {10, 1}}};
    return page;
  }();
  return printed;
}

void check(const Score& score, const BoundPlan& plan, const Layers& layers) {
  const Shaped shaped = perform(score, plan, layers);
  demand(shaped.performance.notes.size() == score.notes.size());
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const PerformedNote& note = shaped.performance.notes[i];
    const NoteLevel& level = shaped.levels[i];
    demand(note.onset >= Seconds{0.0} && note.end > note.onset);
    demand(note.end < Seconds{100'000.0});
    demand(note.velocity <= velocity_at(level.ceiling + level.lift));
  }
}

void check(const Plan& plan, const Score& written, const Printed& printed) {
  const Score score = with_plan_pickup(written, plan);
  const Result<BoundPlan> bound = bind_plan(plan, score, printed);
  demand(static_cast<bool>(bound) != has_errors(bound.diagnostics()));
  if (!bound) return;
  check(score, *bound, {});
  Layers plain;
  plain.touch = false;
  check(score, *bound, plain);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<Plan> plan =
      parse_plan(std::string_view(reinterpret_cast<const char*>(data), size), "p");
  demand(static_cast<bool>(plan) != has_errors(plan.diagnostics()));
  if (!plan) return 0;
  check(*plan, waltz(), {});
  check(*plan, waltz(), waltz_page());
  check(*plan, meters(), {});
  return 0;
}
