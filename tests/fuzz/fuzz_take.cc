// Any bytes at all, read as a take, aligned to a small fixed piece and compared with its plan:
// every note is accounted for once, every block judged, every number finite.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <vector>

#include "fuzz/check_score.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "smf/midi_file.h"
#include "smf/recording.h"
#include "smf/score_reader.h"
#include "take/comparison.h"

namespace {

using namespace arsis;
using fuzz::demand;

constexpr const char* kPlan =
    "arsis: 1\n"
    "score: piece.mid\n"
    "parts:\n"
    "  - {name: right hand, track: 1, role: melody}\n"
    "  - {name: left hand, track: 2, role: accompaniment}\n"
    "dynamics:\n"
    "  - {at: 1:1, mark: mp}\n"
    "  - {from: 3:1, to: 5:1, hairpin: cresc, mark: f}\n"
    "  - {from: 9:1, to: 11:1, hairpin: dim, mark: p}\n"
    "marks: [{at: 12:4, mark: fermata}]\n"
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences:\n"
    "  - {phrases: [u / u, / u u], main: 1}\n"
    "  - {phrases: [u /, / u, u /], main: 2}\n";

struct Piece {
  Score score;
  BoundPlan plan;
};

// Twelve bars: quarters over broken chords of eighths.
MidiFile written_piece() {
  constexpr int kBars = 12;
  constexpr std::array<int, 8> kTune = {72, 74, 76, 77, 79, 77, 74, 76};
  MidiFile file;
  const auto note = [&](std::size_t track, std::int64_t tick, std::int64_t length, int key) {
    const std::uint8_t byte = static_cast<std::uint8_t>(key);
    const auto channel = static_cast<std::uint8_t>(track);
    const std::array<std::uint8_t, 3> on = {static_cast<std::uint8_t>(0x90 | channel), byte, 80};
    const std::array<std::uint8_t, 3> off = {static_cast<std::uint8_t>(0x80 | channel), byte, 0};
    file.append(track, tick, on);
    file.append(track, tick + length, off);
  };
  file.tracks.resize(2);
  for (int i = 0; i < 4 * kBars; ++i) note(0, i * 480, 480, kTune[(i + i / 16) % 8]);
  for (int i = 0; i < 8 * kBars; ++i) note(1, i * 240, 240, i % 2 == 0 ? 48 : 55);
  for (MidiTrack& track : file.tracks) track.end_tick = kBars * 4 * 480;
  return file;
}

const Piece& piece() {
  static const Piece made = [] {
    const Result<Plan> plan = parse_plan(kPlan, "plan.yaml");
    Result<Score> score = score_of(written_piece(), "piece.mid");
    if (!plan || !score) throw std::runtime_error("the piece");
    Result<BoundPlan> bound = bind_plan(*plan, *score);
    if (!bound) throw std::runtime_error("its plan");
    return Piece{*std::move(score), *std::move(bound)};
  }();
  return made;
}

void check_alignment(const Take& take, const Alignment& alignment) {
  std::vector<int> played(take.notes.size());
  std::vector<int> written(piece().score.notes.size());
  for (const auto* pairs : {&alignment.pairs, &alignment.wrong}) {
    for (const NotePair& pair : *pairs) ++written[pair.score], ++played[pair.played];
  }
  for (const NotePair& pair : alignment.earlier) ++played[pair.played];
  for (const std::uint32_t note : alignment.extra) ++played[note];
  for (const auto* notes : {&alignment.missing, &alignment.doubled, &alignment.omitted}) {
    for (const std::uint32_t note : *notes) ++written[note];
  }
  const auto is_one = [](int count) { return count == 1; };
  demand(std::ranges::all_of(played, is_one) && std::ranges::all_of(written, is_one));
  demand(alignment.fit >= 0.0 && alignment.fit <= 1.0);
}

void check_audible(const Audible& by, Verdict verdict) {
  demand(std::isfinite(by.steps) && std::isfinite(by.error) && by.error >= 0.0);
  demand(!by.level || std::isfinite(by.level->value));
  demand(!by.time || std::isfinite(*by.time));
  if (verdict == Verdict::kAsPlanned || verdict == Verdict::kOtherwise) demand(by.is_audible());
}

void check_leads(const std::vector<Lead>& leads, const std::vector<Block>& blocks) {
  demand(leads.size() == blocks.size());
  for (std::size_t i = 0; i < leads.size(); ++i) {
    const Lead& lead = leads[i];
    check_audible(lead.by, lead.verdict);
    demand(lead.planned == blocks[i].main);
    demand(lead.heard >= blocks[i].first && lead.heard < blocks[i].first + blocks[i].count);
    if (lead.verdict == Verdict::kAsPlanned) demand(lead.heard == lead.planned);
    if (lead.verdict == Verdict::kOtherwise) demand(lead.heard != lead.planned);
  }
}

void check_comparison(const Comparison& heard) {
  check_leads(heard.sentences, piece().plan.sentences);
  check_leads(heard.phrases, piece().plan.phrases);
  demand(heard.motifs.size() == piece().plan.motifs.size());
  for (const Growth& growth : heard.motifs) check_audible(growth.by, growth.verdict);
  demand(heard.ends.size() == piece().plan.phrases.size());
  for (const BlockEnd& end : heard.ends) {
    demand(!end.gap || std::isfinite(end.gap->value));
    demand(!end.slowing || std::isfinite(*end.slowing));
  }
  for (const HairpinHeard& hairpin : heard.dynamics.hairpins) {
    demand(std::isfinite(hairpin.heard.value));
    demand(!hairpin.swell || hairpin.swell->value >= 0.0);
  }
  demand(!heard.tempo.speed || (std::isfinite(*heard.tempo.speed) && *heard.tempo.speed > 0.0));
  demand(!heard.tempo.drift || std::isfinite(*heard.tempo.drift));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Result<MidiFile> file = read_midi({data, size}, "f");
  if (!file) return 0;
  const Result<Score> played = score_of(*file, "f", Origin::kPlayed);
  if (!played) return 0;
  recorded_on(*played);
  const Result<Take> take = take_of(*played);
  // Alignment takes its time by notes.
  if (!take || take->notes.size() > 1000) return 0;
  const Alignment alignment = align(piece().score, *take);
  check_alignment(*take, alignment);
  // Of another piece the program refuses it before it is compared; here a fourth of those are, for
  // the time it takes.
  if (!alignment.is_same_piece() && take->notes.size() % 4 != 0) return 0;
  check_comparison(compare(piece().score, piece().plan, *take, alignment));
  return 0;
}
