// The plan that the benchmarks perform.
#pragma once

#include <string>

namespace arsis {

// For two tracks in 4/4: feet over all bars, and every eight bars a hairpin of four, half of them
// diminuendos.
inline std::string benchmark_plan(int bars) {
  std::string text =
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: right, track: 1, role: melody}\n"
      "  - {name: left, track: 2, role: accompaniment}\ndynamics:\n  - {at: 1:1, mark: mf}\n";
  for (int bar = 8; bar + 8 < bars; bar += 8) {
    text += "  - {from: " + std::to_string(bar) + ":1, to: " + std::to_string(bar + 4) +
            ":1, hairpin: " + (bar % 16 == 8 ? "dim" : "cresc") + "}\n";
  }
  text += "motif: {length: 1 bar, from: 1:4}\nsentences:\n";
  for (int bar = 1; bar + 6 <= bars; bar += 6) {
    text += "  - {phrases: [u / u, u u /], main: 1}\n";
  }
  return text;
}

}  // namespace arsis
