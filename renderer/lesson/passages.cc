#include "lesson/passages.h"

#include <algorithm>
#include <string>

namespace arsis {
namespace {

class Finder {
 public:
  Finder(QuestionKind kind, const LessonPiece& piece, std::size_t index)
      : kind_(kind), piece_(piece), index_(index) {}

  std::vector<Question> find() {
    const std::vector<Block>& sentences = piece_.bound.sentences;
    for (std::size_t i = 0; i < sentences.size(); ++i) {
      if (kind_ == QuestionKind::kPhraseLeads) {
        add_members({Level::kSentence, i, 0}, sentences[i], "phrase");
      } else if (kind_ == QuestionKind::kLevelMissing) {
        add({Level::kSentence, i, 0}, sentences[i].span,
            {"the motifs", "the phrases", "the sentence"});
      } else {
        for (std::uint32_t k = 0; k < sentences[i].count; ++k) add_phrase(i, k);
      }
    }
    return std::move(found_);
  }

 private:
  void add(const LedBlock& block, Span span, std::vector<std::string> choices) {
    if (choices.size() < 2 || choices.size() > kMostChoices || span.begin >= span.end) return;
    Question question;
    question.kind = kind_;
    question.piece = index_;
    question.block = block;
    question.span = span;
    question.choices = std::move(choices);
    found_.push_back(std::move(question));
  }

  void add_members(const LedBlock& block, const Block& bound, const std::string& member) {
    std::vector<std::string> choices;
    for (std::uint32_t i = 0; i < bound.count; ++i) {
      choices.push_back(member + " " + std::to_string(i + 1));
    }
    add(block, bound.span, std::move(choices));
  }

  void add_phrase(std::size_t sentence, std::uint32_t number) {
    const Block& holder = piece_.bound.sentences[sentence];
    const Block& phrase = piece_.bound.phrases[holder.first + number];
    const LedBlock block{Level::kPhrase, sentence, number};
    if (kind_ == QuestionKind::kMotifLeads) {
      add_members(block, phrase, "motif");
    } else if (kind_ == QuestionKind::kFlatOrShaped) {
      add(block, phrase.span, {"flat", "shaped"});
    } else if (kind_ == QuestionKind::kDiminuendo && falls(phrase.span)) {
      add(block, phrase.span, {"it is kept", "it swells"});
    } else if (kind_ == QuestionKind::kPhraseEnds && number + 1 < holder.count) {
      add_ends(block, phrase, piece_.bound.phrases[holder.first + number + 1]);
    }
  }

  void add_ends(const LedBlock& block, const Block& first, const Block& second) {
    std::vector<std::string> choices;
    const std::uint32_t last = second.first + second.count - 1;
    for (std::uint32_t motif = first.first; motif < last; ++motif) {
      const Beats end = piece_.bound.motifs[motif].span.end;
      choices.push_back("before " + to_string(piece_.score.bars.position_of(end)));
    }
    add(block, {first.span.begin, second.span.end}, std::move(choices));
  }

  bool falls(Span span) const {
    return std::ranges::any_of(piece_.bound.dynamics, [&](const DynamicLine& line) {
      return std::ranges::any_of(line, [&](const DynamicStretch& stretch) {
        return stretch.falls && stretch.from < span.end && stretch.to > span.begin;
      });
    });
  }

  QuestionKind kind_;
  const LessonPiece& piece_;
  std::size_t index_;
  std::vector<Question> found_;
};

}  // namespace

std::vector<Question> passages_for(QuestionKind kind, const LessonPiece& piece, std::size_t index) {
  return Finder(kind, piece, index).find();
}

}  // namespace arsis
