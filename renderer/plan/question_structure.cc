// What common practice would question in a structure. None of it is an error: the plan is the
// player's.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/binding_steps.h"

namespace arsis {
namespace {

bool crosses_a_bar_line(const Score& score, Span span) {
  const Bar& bar = score.bars.at(span.end - kSameMoment);
  return span.begin < bar.span.begin - kSameMoment;
}

// A motif whose length the plan leaves to the even cell.
bool is_even(const Plan& plan, const BoundPlan& bound, std::size_t index) {
  const Block& motif = bound.motifs[index];
  const Block& phrase = bound.phrases[motif.parent];
  const SentencePlan& written = plan.sentences[phrase.parent];
  const SentencePlan& model = written.like ? plan.sentences[*written.like] : written;
  const PhrasePlan& phrase_plan =
      model.phrases[motif.parent - bound.sentences[phrase.parent].first];
  const MotifPlan& motif_plan = phrase_plan.motifs[index - phrase.first];
  return !motif_plan.to && !motif_plan.length;
}

// One warning for all motifs of a run that lie within their bars, since they have one cause.
void question_bar_lines(Binder& binder) {
  const BoundPlan& bound = binder.bound;
  std::size_t count = 0;
  std::size_t first = 0;
  for (std::size_t i = 0; i < bound.motifs.size(); ++i) {
    if (crosses_a_bar_line(binder.score, bound.motifs[i].span)) continue;
    if (count++ == 0) first = i;
  }
  if (count == 0) return;
  const Block& motif = bound.motifs[first];
  std::string problem = fmt::format("motif {} ({} to {})", block_name(bound, Level::kMotif, first),
                                    binder.at(motif.span.begin), binder.at(motif.span.end));
  if (count > 1) problem += fmt::format(" and {} more", count - 1);
  binder.text.doubt(motif.place,
                    problem + (count > 1 ? " cross no bar line" : " crosses no bar line"),
                    "motifs commonly lead over one; start the cell on the upbeat before it");
}

void question_sizes(Binder& binder) {
  const BoundPlan& bound = binder.bound;
  for (std::size_t i = 0; i < bound.phrases.size(); ++i) {
    const Block& phrase = bound.phrases[i];
    if (phrase.count == 2 || phrase.count == 3) continue;
    binder.text.doubt(
        phrase.place,
        fmt::format("phrase {} holds {} motif{}", block_name(bound, Level::kPhrase, i),
                    phrase.count, phrase.count == 1 ? "" : "s"),
        "two or three are common");
  }
  for (std::size_t i = 0; i < bound.sentences.size(); ++i) {
    const Block& sentence = bound.sentences[i];
    if (sentence.count <= 3) continue;  // a single phrase may stand alone
    binder.text.doubt(sentence.place,
                      fmt::format("sentence {} holds {} phrases", i + 1, sentence.count),
                      "two or three are common");
  }
}

// Whether the motif is the first of a sentence that sets the cell anew.
bool begins_a_new_cell(const Plan& plan, const BoundPlan& bound, std::size_t index) {
  const Block& phrase = bound.phrases[bound.motifs[index].parent];
  const Block& sentence = bound.sentences[phrase.parent];
  const SentencePlan& written = plan.sentences[phrase.parent];
  return index == bound.phrases[sentence.first].first && (written.from || written.length);
}

// Whether the time signature changes between the beginning of the motif before and this one's end:
// then their lengths differ as printed.
bool meter_changes_before(const Binder& binder, std::size_t index) {
  if (index == 0) return false;
  const std::vector<Block>& motifs = binder.bound.motifs;
  const Bar& before = binder.score.bars.at(motifs[index - 1].span.begin);
  return binder.score.bars.at(motifs[index].span.end - kSameMoment).signature != before.signature;
}

// Even motifs that the bars made uneven, against the one before. The last one may be cut short or
// take in what is left of its bar.
void question_evenness(Binder& binder) {
  const BoundPlan& bound = binder.bound;
  Beats usual;  // 0: nothing to compare with
  for (std::size_t i = 0; i < bound.motifs.size(); ++i) {
    const Block& motif = bound.motifs[i];
    if (begins_a_new_cell(binder.plan, bound, i) || meter_changes_before(binder, i)) usual = {};
    if (!is_even(binder.plan, bound, i)) continue;
    const Beats length = motif.span.length();
    const bool last = i + 1 == bound.motifs.size();
    if (usual > Beats{} && !last && std::abs((length - usual).value) > kSameMoment.value) {
      binder.text.doubt(
          motif.place,
          fmt::format("motif {} ({} to {}) is {} than the one before",
                      block_name(bound, Level::kMotif, i), binder.at(motif.span.begin),
                      binder.at(motif.span.end), length > usual ? "longer" : "shorter"),
          "if that is meant, write its end with to:, or the cell anew with from:");
    }
    usual = length;
  }
}

// One warning for each run of notes that belong to no sentence.
void question_coverage(Binder& binder) {
  const std::vector<Block>& sentences = binder.bound.sentences;
  const auto report = [&](std::size_t count, Beats first, Beats last) {
    if (count == 0) return;
    const std::string where = first == last
                                  ? fmt::format("at {}", binder.at(first))
                                  : fmt::format("from {} to {}", binder.at(first), binder.at(last));
    if (count == 1) {
      binder.text.doubt(binder.plan.sentences_place,
                        fmt::format("a note {} belongs to no block", where),
                        "it is played without a shape");
    } else {
      binder.text.doubt(binder.plan.sentences_place,
                        fmt::format("{} notes {} belong to no block", count, where),
                        "they are played without a shape");
    }
  };
  std::size_t count = 0;
  std::size_t block = 0;
  Beats first;
  Beats last;
  for (const Note& note : binder.score.notes) {
    const std::size_t before = block;
    while (block < sentences.size() && sentences[block].span.end <= note.onset) ++block;
    const bool covered = block < sentences.size() && sentences[block].span.holds(note.onset);
    if (covered || block != before) {
      report(count, first, last);
      count = 0;
    }
    if (covered) continue;
    if (count++ == 0) first = note.onset;
    last = note.onset;
  }
  report(count, first, last);
}

}  // namespace

void question_structure(Binder& binder) {
  question_bar_lines(binder);
  question_sizes(binder);
  question_evenness(binder);
  question_coverage(binder);
}

}  // namespace arsis
