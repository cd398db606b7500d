#include "lesson/treatment.h"

#include <algorithm>
#include <cassert>
#include <utility>

#include "score/alike.h"
#include "score/audible.h"
#include "shape/perform.h"

namespace arsis {
namespace {

std::vector<PhrasePlan>& written_phrases(Plan& plan, std::size_t sentence) {
  return plan.sentences[plan.sentences[sentence].like.value_or(sentence)].phrases;
}

Plan with_main(const LessonPiece& piece, const Question& question, std::size_t choice) {
  return with_reading(piece.plan, question.block, {choice, "", false});
}

// The motifs of the phrase and the next one, the first `count` of them in the first.
Plan divided(Plan plan, const LedBlock& first, std::size_t count) {
  std::vector<PhrasePlan>& phrases = written_phrases(plan, first.sentence);
  PhrasePlan& left = phrases[first.phrase];
  PhrasePlan& right = phrases[first.phrase + 1];
  const std::size_t right_main = left.motifs.size() + right.main;  // among all
  std::vector<MotifPlan> motifs = std::move(left.motifs);
  motifs.insert(motifs.end(), right.motifs.begin(), right.motifs.end());
  assert(count > 0 && count < motifs.size());
  const auto middle = motifs.begin() + static_cast<std::ptrdiff_t>(count);
  left.motifs.assign(motifs.begin(), middle);
  right.motifs.assign(middle, motifs.end());
  if (left.main >= count) left.main = count - 1;
  right.main = right_main >= count ? right_main - count : right.motifs.size() - 1;
  return plan;
}

Plan with_diminuendo(Plan plan, Diminuendo diminuendo) {
  plan.shape.diminuendo = diminuendo;
  for (SentencePlan& sentence : plan.sentences) {
    sentence.shape.diminuendo.reset();
    for (PhrasePlan& phrase : sentence.phrases) {
      phrase.shape.diminuendo.reset();
      for (MotifPlan& motif : phrase.motifs) motif.shape.diminuendo.reset();
    }
  }
  return plan;
}

std::vector<Excerpt> all_choices(const LessonPiece& piece, const Question& question) {
  std::vector<Excerpt> all;
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    all.push_back(perform_choice(piece, question, i));
  }
  return all;
}

template <class Differ>
bool every_two(const std::vector<Excerpt>& all, const Differ& differ) {
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t k = i + 1; k < all.size(); ++k) {
      if (!differ(all[i], all[k])) return false;
    }
  }
  return true;
}

}  // namespace

Treatment treatment_of(const LessonPiece& piece, const Question& question, std::size_t choice) {
  assert(choice < question.choices.size());
  Treatment made;
  made.layers.amount = question.amount;
  switch (question.kind) {
    case QuestionKind::kMotifLeads:
    case QuestionKind::kPhraseLeads:
      made.plan = with_main(piece, question, choice);
      break;
    case QuestionKind::kFlatOrShaped:
      made.plan = piece.plan;
      if (choice == 0) made.layers.amount = 0.0;
      break;
    case QuestionKind::kLevelMissing:
      made.plan = piece.plan;
      made.layers.heard[choice] = false;  // the levels from the motif up
      break;
    case QuestionKind::kPhraseEnds:
      made.plan = divided(piece.plan, question.block, choice + 1);
      break;
    case QuestionKind::kDiminuendo:
      made.plan =
          with_diminuendo(piece.plan, choice == 0 ? Diminuendo::kBroaden : Diminuendo::kSwell);
      break;
  }
  return made;
}

Excerpt perform_choice(const LessonPiece& piece, const Question& question, std::size_t choice) {
  const Treatment treatment = treatment_of(piece, question, choice);
  const Result<BoundPlan> bound = bind_plan(treatment.plan, piece.score, piece.printed);
  assert(bound);  // no choice moves a motif
  const Instrument law;
  const Shaped shaped = perform(piece.score, *bound, treatment.layers,
                                piece.instrument == nullptr ? law : *piece.instrument);
  return excerpt_of(piece.score, shaped.performance, {.span = question.span});
}

bool can_be_told(const LessonPiece& piece, const Question& question) {
  const auto differ = [](const Excerpt& a, const Excerpt& b) {
    return !sounds_alike(a.performance, b.performance);
  };
  if (!every_two(all_choices(piece, question), differ)) return false;
  Question plain = question;
  plain.amount = 1.0;
  LessonPiece by_law = piece;  // velocities then tell of levels
  by_law.instrument = nullptr;
  return every_two(all_choices(by_law, plain), is_heard_apart);
}

Seconds longest_choice(const LessonPiece& piece, const Question& question) {
  Seconds longest{0.0};
  for (const Excerpt& each : all_choices(piece, question)) {
    for (const PerformedNote& note : each.performance.notes) longest = std::max(longest, note.end);
  }
  return longest;
}

}  // namespace arsis
