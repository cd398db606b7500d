#include "draft/mains.h"

#include <algorithm>
#include <cassert>
#include <limits>
#include <span>

#include "draft/likeness.h"
#include "draft/pattern.h"

namespace arsis {
namespace {

// The blocks whose members are `members`, `firsts` being the index of each block's first one.
std::vector<std::span<const Span>> divided(std::span<const Span> members,
                                           const std::vector<std::uint32_t>& firsts) {
  std::vector<std::span<const Span>> blocks;
  for (std::size_t i = 0; i < firsts.size(); ++i) {
    const std::size_t end = i + 1 < firsts.size() ? firsts[i + 1] : members.size();
    assert(firsts[i] < end && end <= members.size());
    blocks.push_back(members.subspan(firsts[i], end - firsts[i]));
  }
  return blocks;
}

std::vector<Span> spans_of(const std::vector<std::span<const Span>>& blocks) {
  std::vector<Span> spans;
  spans.reserve(blocks.size());
  for (const auto& members : blocks) {
    spans.push_back({members.front().begin, members.back().end});
  }
  return spans;
}

std::vector<double> totals_of(const std::vector<Candidate>& candidates) {
  std::vector<double> totals;
  totals.reserve(candidates.size());
  for (const Candidate& candidate : candidates) totals.push_back(candidate.total);
  return totals;
}

double margin_of(const std::vector<Candidate>& candidates, std::size_t main) {
  if (candidates.size() < 2) return 0.0;
  double best_other = -std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    if (i != main) best_other = std::max(best_other, candidates[i].total);
  }
  return candidates[main].total - best_other;
}

// Up to rounding, which may differ from key to key.
bool reaches(double margin, double threshold) { return margin > threshold - 1e-9; }

Choice choice_of(std::vector<Candidate> candidates, std::size_t main) {
  Choice choice;
  choice.main = main;
  choice.by_pattern = main != best_member(totals_of(candidates));
  choice.margin = margin_of(candidates, main);
  choice.doubtful = candidates.size() > 1 && !reaches(choice.margin, kDoubt);
  choice.candidates = std::move(candidates);
  return choice;
}

std::vector<Choice> choices(const Surface& surface, Level level,
                            const std::vector<std::span<const Span>>& blocks) {
  const std::vector<Span> spans = spans_of(blocks);
  std::vector<std::vector<Candidate>> candidates;
  std::vector<PatternBlock> pattern(blocks.size());
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    candidates.push_back(evidence(surface, {level, blocks[i]}));
    pattern[i].totals = totals_of(candidates[i]);
    if (i > 0) pattern[i].likeness_to_last = likeness(surface, spans[i - 1], spans[i]);
  }
  const std::vector<std::size_t> mains = best_pattern(pattern);
  std::vector<Choice> chosen;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    chosen.push_back(choice_of(std::move(candidates[i]), mains[i]));
  }
  return chosen;
}

}  // namespace

Structure structure_of(const BoundPlan& plan) {
  assert(!plan.sentences.empty());
  Structure structure;
  for (const Block& motif : plan.motifs) structure.motifs.push_back(motif.span);
  for (const Block& phrase : plan.phrases) structure.phrases.push_back(phrase.first);
  for (const Block& sentence : plan.sentences) structure.sentences.push_back(sentence.first);
  structure.cell = {structure.motifs.front().length(), structure.motifs.front().begin};
  return structure;
}

Mains choose_mains(const Surface& surface, const Structure& structure) {
  Mains mains;
  const auto phrases = divided(structure.motifs, structure.phrases);
  mains.phrases = choices(surface, Level::kPhrase, phrases);
  const std::vector<Span> phrase_spans = spans_of(phrases);
  const auto sentences = divided(phrase_spans, structure.sentences);
  mains.sentences = choices(surface, Level::kSentence, sentences);
  const std::vector<Span> sentence_spans = spans_of(sentences);
  if (sentence_spans.size() < 2) return mains;
  std::vector<Candidate> candidates = evidence(surface, {Level::kPiece, sentence_spans});
  const std::size_t main = best_member(totals_of(candidates));
  Choice choice = choice_of(std::move(candidates), main);
  if (reaches(choice.margin, kClear)) mains.piece = std::move(choice);
  return mains;
}

Mains choose_mains(const Material& material, const Structure& structure) {
  return choose_mains(surface_of(material), structure);
}

}  // namespace arsis
