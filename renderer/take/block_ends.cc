#include "take/block_ends.h"

#include "take/median.h"

namespace arsis {
namespace {

constexpr std::uint8_t kDamper = 64;     // controller
constexpr std::uint8_t kPedalDown = 64;  // value from which it holds. Source: General MIDI 1

bool is_pedal_down(const Take& take, Seconds at) {
  bool down = false;
  for (const PedalChange& change : take.pedals) {
    if (change.at > at) break;
    if (change.controller == kDamper) down = change.value >= kPedalDown;
  }
  return down;
}

class Ends {
 public:
  Ends(const Score& score, const Take& take, const Heard& heard)
      : score_(score), take_(take), heard_(heard) {}

  // The gap before the melody's note `i`, less what is written; `pace` as of the sentence.
  Seconds gap_before(std::size_t i, double pace) const {
    const HeardNote& last = heard_.melody[i - 1];
    const HeardNote& next = heard_.melody[i];
    const Seconds written =
        score_.tempo.seconds_at(next.at) - score_.tempo.seconds_at(score_.notes[last.note].end);
    return take_.notes[next.played].onset - take_.notes[last.played].end -
           std::max(written, Seconds{0.0}) * pace;
  }

  // Notes of the melody that follow one another in the score and in the take.
  bool are_neighbours(std::size_t i) const {
    return i > 0 && i < heard_.melody.size() &&
           heard_.melody[i - 1].played < heard_.melody[i].played &&
           score_.notes[heard_.melody[i - 1].note].end >= heard_.melody[i].at - Beats{1.0};
  }

 private:
  const Score& score_;
  const Take& take_;
  const Heard& heard_;
};

// What gap is usual within the motifs: staccato pieces have gaps everywhere.
Seconds usual_gap(const BoundPlan& plan, const Heard& heard, const Ends& ends) {
  std::vector<double> gaps;
  for (const Block& motif : plan.motifs) {
    const auto notes = within(heard.melody, motif.span);
    const auto first = static_cast<std::size_t>(notes.data() - heard.melody.data());
    for (std::size_t i = first + 1; i < first + notes.size(); ++i) {
      if (ends.are_neighbours(i)) gaps.push_back(ends.gap_before(i, 1.0).value);
    }
  }
  return {std::max(0.0, median_of(std::move(gaps)))};
}

void hear_breath(BlockEnd& end, const Heard& heard, const Take& take, const Ends& ends,
                 std::size_t next, double pace, Seconds usual) {
  if (!ends.are_neighbours(next)) return;
  const PlayedNote& last = take.notes[heard.melody[next - 1].played];
  end.gap = ends.gap_before(next, pace) - usual;
  end.under_pedal = is_pedal_down(take, last.end);
  if (end.under_pedal) return;
  const Seconds interval = take.notes[heard.melody[next].played].onset - last.onset;
  end.breath = *end.gap >= time_step(interval) ? Verdict::kAsPlanned : Verdict::kNotAudible;
}

void hear_closing(BlockEnd& end, const Heard& heard, std::size_t next, double pace) {
  if (next == 0 || next >= heard.moments.size()) return;
  const HeardMoment& last = heard.moments[next - 1];
  const HeardMoment& first = heard.moments[next];
  if (last.stretch != first.stretch || first.written <= last.written) return;
  const Seconds even = (first.written - last.written) * pace;
  end.slowing = (first.onset - last.onset) / even - 1.0;
  const double step = time_step(even) / even;
  end.closing = *end.slowing >= step ? Verdict::kAsPlanned : Verdict::kNotAudible;
}

}  // namespace

std::vector<BlockEnd> hear_block_ends(const Score& score, const BoundPlan& plan, const Take& take,
                                      const Heard& heard,
                                      const std::vector<std::optional<double>>& paces) {
  const Ends ends(score, take, heard);
  const Seconds usual = usual_gap(plan, heard, ends);
  std::vector<BlockEnd> all;
  for (const Block& phrase : plan.phrases) {
    BlockEnd& end = all.emplace_back();
    const std::optional<double> pace = paces[phrase.parent];
    if (!pace) continue;
    const auto after = [&](const auto& rows) {
      using Row = std::remove_cvref_t<decltype(rows.front())>;
      const auto at = std::ranges::lower_bound(rows, phrase.span.end - kSameMoment, {}, &Row::at);
      return static_cast<std::size_t>(at - rows.begin());
    };
    hear_breath(end, heard, take, ends, after(heard.melody), *pace, usual);
    hear_closing(end, heard, after(heard.moments), *pace);
  }
  return all;
}

}  // namespace arsis
