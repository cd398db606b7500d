#include "draft/drafted_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <set>

#include "draft/cell.h"
#include "plan/cells.h"

namespace arsis {
namespace {

// A tick may lie a rounding error before its bar line; it is the bar's first beat.
WrittenPosition written(const Bars& bars, Beats at) {
  return {bars.position_of(std::max(at, bars.at(at + kSameMoment).span.begin)), {}};
}

// Parts under names that tell them apart.
std::vector<PartPlan> parts_of(const Material& material) {
  std::vector<PartPlan> parts;
  std::set<std::string> taken;
  for (std::size_t i = 0; i < material.score.parts.size(); ++i) {
    const Part& part = material.score.parts[i];
    PartPlan plan;
    plan.name = material.bound.parts[i].name;
    if (plan.name.empty()) plan.name = fmt::format("track {}", part.number);
    if (taken.contains(plan.name)) plan.name += fmt::format(", channel {}", part.channel + 1);
    for (int copy = 2; taken.contains(plan.name); ++copy) {
      plan.name = fmt::format("track {}, channel {} ({})", part.number, part.channel + 1, copy);
    }
    taken.insert(plan.name);
    plan.track = part.number;
    plan.channel = part.channel + 1;
    plan.hand = part.hand;
    plan.role = material.bound.parts[i].role;
    parts.push_back(std::move(plan));
  }
  return parts;
}

// Writes one motif after the other, as the binder will read them.
class MotifWriter {
 public:
  MotifWriter(const Structure& structure, const Material& material, WrittenLength length)
      : structure_(structure),
        material_(material),
        bars_(material.score.bars),
        cells_(bars_, length, structure.motifs.front().begin) {}

  MotifPlan write(std::size_t index) {
    const Span span = structure_.motifs[index];
    MotifPlan motif;
    Cells trial = cells_;
    const Beats end =
        std::min(material_.score.snapped(trial.end_of(span.begin)), bars_.all().back().span.end);
    if (meter_changes_before(index)) usual_ = {};
    const bool is_last = index + 1 == structure_.motifs.size();
    const bool is_usual = usual_ == Beats{} || is_last || same_moment(span.length(), usual_);
    if (same_moment(end, span.end) && is_usual) {
      cells_ = trial;
      usual_ = span.length();
    } else {
      motif.to = written(bars_, span.end);
    }
    if (!holds_melody(span)) motif.goal = written(bars_, last_onset(span));
    return motif;
  }

 private:
  bool meter_changes_before(std::size_t index) const {
    if (index == 0) return false;
    return bars_.at(structure_.motifs[index].end - kSameMoment).signature !=
           bars_.at(structure_.motifs[index - 1].begin).signature;
  }

  bool holds_melody(Span span) const {
    const auto onset = [&](std::size_t note) { return material_.score.notes[note].onset; };
    const auto& melody = material_.bound.melody;
    const auto first = std::ranges::lower_bound(melody, span.begin, {}, onset);
    return first != melody.end() && onset(*first) < span.end;
  }

  Beats last_onset(Span span) const {
    const auto& notes = material_.score.notes;
    const auto after = std::ranges::lower_bound(notes, span.end, {}, &Note::onset);
    if (after == notes.begin()) return span.begin;
    return std::max(span.begin, std::prev(after)->onset);
  }

  const Structure& structure_;
  const Material& material_;
  const Bars& bars_;
  Cells cells_;
  Beats usual_;  // length of the last even motif in this metre; 0: none
};

}  // namespace

Plan plan_of(const Structure& structure, const Material& material) {
  assert(!structure.motifs.empty());
  const Bars& bars = material.score.bars;
  Plan plan;
  plan.title = material.score.title;
  plan.score = material.score.file;
  plan.parts = parts_of(material);
  plan.cell = written_length(bars, structure.cell);
  plan.cell_from = written(bars, structure.motifs.front().begin);
  MotifWriter writer(structure, material, *plan.cell);
  std::size_t motif = 0;
  for (std::size_t phrase = 0; phrase < structure.phrases.size(); ++phrase) {
    const bool begins_sentence = std::ranges::binary_search(structure.sentences, phrase);
    if (begins_sentence) plan.sentences.emplace_back();
    PhrasePlan& written_phrase = plan.sentences.back().phrases.emplace_back();
    const std::size_t end = phrase + 1 < structure.phrases.size() ? structure.phrases[phrase + 1]
                                                                  : structure.motifs.size();
    for (; motif < end; ++motif) written_phrase.motifs.push_back(writer.write(motif));
  }
  return plan;
}

}  // namespace arsis
