#include "plan/tuning.h"

#include <algorithm>

namespace arsis {
namespace {

constexpr std::string_view kOurChoice = "our choice";
constexpr std::string_view kDepthSource =
    "our choice: each above the 1 dB step a listener notices (Jesteadt, Wier & Green 1977, from "
    "memory), the sum within what pianists do inside one dynamic";
constexpr std::string_view kSlowingSource =
    "our choice; phrase-level arcs explain about 44 % of duration variance (Friberg 1995)";
constexpr std::string_view kLingerSource =
    "our choice; nothing below max(6 ms, 2.5 % of the interval) is audible (Friberg & Sundberg "
    "1995)";

constexpr std::array<ConstantInfo, kConstants> kTable = {{
    {"motif", "depth", "dB", 1.5, 0, 12, "how far below the ceiling a motif's low ends lie",
     kDepthSource},
    {"motif", "slowing", "%", 1.5, 0, 40, "lengthening where a motif's energy is lowest",
     kSlowingSource},
    {"motif", "linger", "%", 2, 0, 60, "lengthening at a motif's goal", kLingerSource},
    {"motif", "width", "beat", 1, 0.25, 16, "reach of a motif's linger on either side", kOurChoice},
    {"motif", "breath", "ms", 20, 0, 1000, "gap before the next motif", kOurChoice},
    {"phrase", "depth", "dB", 3.5, 0, 12, "how far below the ceiling a phrase's low ends lie",
     kDepthSource},
    {"phrase", "slowing", "%", 5, 0, 40, "lengthening where a phrase's energy is lowest",
     kSlowingSource},
    {"phrase", "linger", "%", 4, 0, 60, "lengthening at a phrase's goal", kLingerSource},
    {"phrase", "width", "beat", 1, 0.25, 16, "reach of a phrase's linger on either side",
     kOurChoice},
    {"phrase", "breath", "ms", 60, 0, 1000, "gap before the next phrase", kOurChoice},
    {"sentence", "depth", "dB", 2.5, 0, 12, "how far below the ceiling a sentence's low ends lie",
     kDepthSource},
    {"sentence", "slowing", "%", 4, 0, 40, "lengthening where a sentence's energy is lowest",
     kSlowingSource},
    {"sentence", "linger", "%", 6, 0, 60, "lengthening at a sentence's goal", kLingerSource},
    {"sentence", "width", "beat", 1, 0.25, 16, "reach of a sentence's linger on either side",
     kOurChoice},
    {"sentence", "breath", "ms", 120, 0, 1000, "gap before the next sentence", kOurChoice},
    {"piece", "depth", "dB", 1, 0, 12,
     "how far below the ceiling the piece's ends lie, where the plan names a main sentence",
     "our choice: the smallest step a listener notices; no effect unless a main is named"},
    {"piece", "slowing", "%", 0, 0, 40, "lengthening where the piece's energy is lowest",
     kOurChoice},
    {"piece", "linger", "%", 0, 0, 60, "lengthening at the piece's goal", kOurChoice},
    {"piece", "width", "beat", 1, 0.25, 16, "reach of the piece's linger on either side",
     kOurChoice},
    {"piece", "breath", "ms", 0, 0, 1000, "gap at the end of the piece", kOurChoice},
    {"", "floor", "dB", -36, -60, -12, "the level under which no arc dips",
     "our choice: velocity 16, the softest that a small SoundFont still sounds cleanly"},
    {"", "broadening", "%/dB", 4, 0, 20,
     "lengthening for each decibel of rise that a written diminuendo withholds",
     "our choice: over the 2.5 % that is audible (Friberg & Sundberg 1995) for each audible "
     "decibel"},
    {"closing", "length", "bar", 2, 0.25, 32, "how long the closing ritardando is",
     "the last one or two bars: common practice, no source"},
    {"closing", "tempo", "%", 100, 20, 100, "the tempo at the very end; 100 %: no ritardando",
     "our choice; plausible values are 40 to 70 %"},
    {"closing", "curve", "", 3, 1, 8, "curvature q: 2 constant braking force, 3 constant power",
     "Friberg & Sundberg 1999 (runners stop like q = 3)"},
    {"dynamics", "forte", "dB", -5.982, -20, 0, "the level of f",
     "velocity 90: MusicXML 4.0, attribute dynamics of sound, 100 %; General MIDI 2 law"},
    {"dynamics", "softer", "dB", 4.5, 1, 9, "one dynamic step at and below f",
     "our choice; common notation tables have 3.2 to 6.9 dB (from memory)"},
    {"dynamics", "louder", "dB", 3, 0.5, 9, "one dynamic step above f",
     "our choice: what MIDI leaves above velocity 90"},
    {"balance", "melody", "dB", 0, -24, 0, "level of the melody against the ceiling", kOurChoice},
    {"balance", "accompaniment", "dB", -4, -24, 0, "level of the accompaniment", kOurChoice},
    {"balance", "bass", "dB", -2.5, -24, 0, "level of the bass", kOurChoice},
    {"touch", "voicing", "dB", 2, 0, 12, "how much softer a melody chord's inner notes are",
     kOurChoice},
    {"touch", "lead", "%", 100, 0, 300, "melody lead, as a share of the published law",
     "Goebl 2001; hammer travel time 89.16 h^-0.570 ms (from memory)"},
    {"touch", "longest-lead", "ms", 40, 0, 100, "the longest melody lead",
     "our choice, above the 30 ms of Goebl 2001"},
    {"touch", "arpeggio", "ms", 35, 0, 200, "from note to note of a rolled chord", kOurChoice},
    {"touch", "longest-arpeggio", "ms", 160, 0, 1000, "the longest roll of a chord", kOurChoice},
    {"touch", "overlap", "%", 8, 0, 30, "legato overlap, as a share of the interval",
     "our choice within the 6 to 15 % that Repp 1995 implies (from memory)"},
    {"touch", "longest-overlap", "ms", 60, 0, 300, "the longest legato overlap", kOurChoice},
    {"touch", "slack", "%", 12, 0, 40,
     "a gap before the next note, as a share of the interval, that is taken for none",
     "our choice: notation programs shorten notes by some per cent when they export"},
    {"touch", "repeat", "%", 60, 10, 100, "sounding share of a note whose key strikes again next",
     "Bresin & Battel 2000"},
    {"touch", "longest-gap", "ms", 250, 0, 2000, "the longest gap before a repeated key",
     "our choice: the published share was measured on quick notes"},
    {"touch", "staccato", "%", 40, 5, 100, "sounding share of a staccato note",
     "Bresin & Battel 2000"},
    {"touch", "staccatissimo", "%", 25, 5, 100, "sounding share of a staccatissimo note",
     kOurChoice},
    {"touch", "portato", "%", 75, 5, 100, "sounding share of a portato note",
     "three quarters: common practice, no source"},
    {"touch", "marcato", "%", 80, 5, 100, "sounding share of a marcato note", kOurChoice},
    {"touch", "fermata", "%", 75, 0, 400, "how much longer a note under a fermata is", kOurChoice},
    {"touch", "breath-mark", "ms", 150, 0, 2000, "gap at a written breath mark", kOurChoice},
    {"touch", "breath-share", "%", 40, 0, 90, "the most of a note that a breath may take",
     kOurChoice},
    {"accents", "accent", "dB", 2.5, 0, 12, "lift of an accent over the ceiling", kOurChoice},
    {"accents", "marcato", "dB", 3.5, 0, 12, "lift of a marcato over the ceiling", kOurChoice},
    {"accents", "sforzato", "dB", 4.5, 0, 12, "lift of sf, sfz, fz, rf over the ceiling",
     "our choice: one dynamic step"},
    {"unevenness", "timing", "ms", 3, 0, 20, "standard deviation of onsets when a seed is given",
     "our choice, below the motor noise of Wing & Kristofferson 1973 (from memory)"},
    {"unevenness", "level", "dB", 0.5, 0, 6, "standard deviation of levels when a seed is given",
     kOurChoice},
}};

constexpr std::array<std::string_view, 10> kDynamics = {"pppp", "ppp", "pp", "p",   "mp",
                                                        "mf",   "f",   "ff", "fff", "ffff"};
constexpr int kMezzoForte = 5;  // its place in kDynamics

}  // namespace

std::string_view name_of(Level level) {
  constexpr std::array<std::string_view, kLevels> kNames = {"motif", "phrase", "sentence", "piece"};
  return kNames[index_of(level)];
}

std::span<const ConstantInfo, kConstants> constant_table() { return kTable; }

Tuning::Tuning() { std::ranges::transform(kTable, values_.begin(), &ConstantInfo::initial); }

Decibels level_of_dynamic(int step, const Tuning& tuning) {
  const int above_forte = step - 1;
  const Decibels one = tuning.decibels(above_forte > 0 ? Constant::kLouder : Constant::kSofter);
  return std::min(tuning.decibels(Constant::kForte) + one * above_forte, Decibels{0.0});
}

std::optional<int> dynamic_step(std::string_view mark) {
  const auto found = std::ranges::find(kDynamics, mark);
  if (found == kDynamics.end()) return std::nullopt;
  return static_cast<int>(found - kDynamics.begin()) - kMezzoForte;
}

std::span<const std::string_view> dynamic_names() { return kDynamics; }

std::string_view dynamic_name(int step) {
  return kDynamics[static_cast<std::size_t>(std::clamp(step + kMezzoForte, 0, 9))];
}

}  // namespace arsis
