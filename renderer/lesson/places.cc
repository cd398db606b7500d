#include "lesson/places.h"

namespace arsis {

std::string bars_of(const LessonPiece& piece, const Question& question) {
  const Bars& bars = piece.score.bars;
  const int first = bars.at(question.span.begin).number;
  const int last = bars.at(question.span.end - kSameMoment).number;
  if (first == last) return "bar " + std::to_string(first);
  return "bars " + std::to_string(first) + " to " + std::to_string(last);
}

std::vector<Span> members_of(const LessonPiece& piece, const Question& question) {
  const Block& sentence = piece.bound.sentences[question.block.sentence];
  std::vector<Span> members;
  if (question.kind == QuestionKind::kPhraseLeads) {
    for (std::uint32_t i = 0; i < sentence.count; ++i) {
      members.push_back(piece.bound.phrases[sentence.first + i].span);
    }
    return members;
  }
  const bool both = question.kind == QuestionKind::kPhraseEnds;
  if (!both && question.kind != QuestionKind::kMotifLeads) return members;
  const std::size_t first = sentence.first + question.block.phrase;
  for (std::size_t phrase = first; phrase <= first + (both ? 1 : 0); ++phrase) {
    const Block& block = piece.bound.phrases[phrase];
    for (std::uint32_t i = 0; i < block.count; ++i) {
      members.push_back(piece.bound.motifs[block.first + i].span);
    }
  }
  return members;
}

std::string choice_words(const LessonPiece& piece, const Question& question, std::size_t choice) {
  const std::string& words = question.choices[choice];
  if (question.kind != QuestionKind::kMotifLeads && question.kind != QuestionKind::kPhraseLeads) {
    return words;
  }
  const Span member = members_of(piece, question)[choice];
  return words + ", from " + to_string(piece.score.bars.position_of(member.begin));
}

std::string letter_of(std::size_t choice) {
  return std::string(1, static_cast<char>('a' + static_cast<char>(choice)));
}

}  // namespace arsis
