// A piece of 300 bars as a PDF: drawing and printing. By threes, for what the time grows with.
#include <benchmark/benchmark.h>

#include <string>

#include "page/evidence_remarks.h"
#include "page/printing.h"
#include "page/sheet.h"
#include "plan/plan_reader.h"
#include "shape/bound.h"
#include "shape/perform.h"

namespace arsis {
namespace {

// Sixteen notes a bar of 4/4 over chords, phrases of two and three bars, hairpins.
struct Piece {
  explicit Piece(int bars) {
    std::string right;
    std::string left;
    for (int bar = 0; bar < bars; ++bar) {
      const char* const figures[] = {"C5 D5 E5 F5", "E5 F5 G5 A5", "B5 A5 G5 F5"};
      for (int beat = 0; beat < 2; ++beat) {
        for (const char letter : std::string(figures[(bar + beat) % 3])) {
          right += letter == ' ' ? std::string("/0.5 ") : std::string(1, letter);
        }
        right += "/0.5 ";
      }
      left += "C3+E3+G3 E3 G3 C4+E4 ";
    }
    std::string lines = "dynamics:\n";
    for (int bar = 1; bar + 6 <= bars; bar += 6) {
      const std::string from = std::to_string(bar) + ":1";
      const std::string to = std::to_string(bar + 3) + ":1";
      lines += "  - {at: " + from + ", mark: p}\n  - {from: " + from + ", to: " + to +
               ", hairpin: cresc, mark: f}\n";
    }
    lines += "motif: {length: 1 bar, from: 1:1}\nsentences:\n";
    for (int bar = 0; bar + 6 <= bars; bar += 6) {
      lines += bar % 4 == 0 ? "  - {phrases: [u / u, / u u], main: 2}\n"
                            : "  - {phrases: [u /, / u, u /], main: 1}\n";
    }
    score = test::two_hands(right, left);
    plan = test::bound(score, lines, test::kTwoHands);
    shaped = perform(score, plan);
  }

  Picture picture() const {
    return {score,
            plan,
            shaped.levels,
            {},
            "A long piece",
            "two hands",
            {course_of(score, plan, shaped, "the plan")},
            {}};
  }

  Score score;
  BoundPlan plan;
  Shaped shaped;
};

constexpr Span kWhole = {{0.0}, {1e9}};

void draws_pages(benchmark::State& state) {
  const Piece piece(static_cast<int>(state.range(0)));
  const Picture picture = piece.picture();
  for (auto unused : state) benchmark::DoNotOptimize(draw_pages(picture, kWhole, kA4));
}
BENCHMARK(draws_pages)->Arg(100)->Arg(300)->Arg(900)->Unit(benchmark::kMillisecond);

void makes_a_pdf(benchmark::State& state) {
  const Piece piece(static_cast<int>(state.range(0)));
  const auto sheets = draw_pages(piece.picture(), kWhole, kA4);
  for (auto unused : state) benchmark::DoNotOptimize(pdf_of(*sheets, "A long piece"));
  state.counters["pages"] = static_cast<double>(sheets->size());
}
BENCHMARK(makes_a_pdf)->Arg(100)->Arg(300)->Arg(900)->Unit(benchmark::kMillisecond);

void finds_the_evidence(benchmark::State& state) {
  const Piece piece(static_cast<int>(state.range(0)));
  for (auto unused : state) {
    benchmark::DoNotOptimize(evidence_remarks({piece.score, piece.plan, {}}));
  }
}
BENCHMARK(finds_the_evidence)->Arg(300)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
