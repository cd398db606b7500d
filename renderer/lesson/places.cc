#include "lesson/places.h"

#include <span>

#include "base/text.h"

namespace arsis {
namespace {

// The motifs of the question's phrase, and of the next one where it is about both.
std::span<const Block> motifs_of(const LessonPiece& piece, const Question& question) {
  const BoundPlan& bound = piece.bound;
  const std::size_t phrase = bound.sentences[question.block.sentence].first + question.block.phrase;
  const Block& first = bound.phrases[phrase];
  std::size_t count = first.count;
  if (question.kind == QuestionKind::kPhraseEnds) count += bound.phrases[phrase + 1].count;
  return std::span(bound.motifs).subspan(first.first, count);
}

std::span<const Block> members_of(const LessonPiece& piece, const Question& question) {
  if (question.kind != QuestionKind::kPhraseLeads) return motifs_of(piece, question);
  const Block& sentence = piece.bound.sentences[question.block.sentence];
  return std::span(piece.bound.phrases).subspan(sentence.first, sentence.count);
}

}  // namespace

std::vector<ChoicePlace> choice_places(const LessonPiece& piece, const Question& question) {
  const bool leads =
      question.kind == QuestionKind::kMotifLeads || question.kind == QuestionKind::kPhraseLeads;
  const bool ends = question.kind == QuestionKind::kPhraseEnds;
  std::vector<ChoicePlace> places;
  if (!leads && !ends) return places;
  for (const Block& member : members_of(piece, question).first(question.choices.size())) {
    const Beats begin = leads ? member.span.begin : member.span.end;
    places.push_back({{begin, member.span.end}, letter_of(places.size())});
  }
  return places;
}

std::string choice_words(const LessonPiece& piece, const Question& question, std::size_t choice) {
  const std::string& words = question.choices[choice];
  const bool leads =
      question.kind == QuestionKind::kMotifLeads || question.kind == QuestionKind::kPhraseLeads;
  if (!leads) return words;
  const Span member = choice_places(piece, question)[choice].span;
  return words + ", from " + to_string(piece.score.bars.position_of(member.begin));
}

}  // namespace arsis
