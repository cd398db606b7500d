#include "lesson/question.h"

namespace arsis {

std::string_view words_of(QuestionKind kind) {
  switch (kind) {
    case QuestionKind::kMotifLeads:
      return "Which motif leads?";
    case QuestionKind::kPhraseLeads:
      return "Which phrase leads?";
    case QuestionKind::kFlatOrShaped:
      return "Is it flat or shaped?";
    case QuestionKind::kLevelMissing:
      return "Which level is missing?";
    case QuestionKind::kPhraseEnds:
      return "Where does the first phrase end?";
    case QuestionKind::kDiminuendo:
      break;
  }
  return "Is the diminuendo kept, or does it swell?";
}

}  // namespace arsis
