#include "draft/phrase_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "draft/parallels.h"

namespace arsis {
namespace {

Beats begin_of(const Structure& structure, std::size_t phrase) {
  return structure.motifs[structure.phrases[phrase]].begin;
}

// The first two motifs of a phrase.
Span opening_of(const Structure& structure, std::size_t phrase) {
  const std::size_t first = structure.phrases[phrase];
  const std::size_t second = std::min(first + 1, structure.motifs.size() - 1);
  return {structure.motifs[first].begin, structure.motifs[second].end};
}

// "same as 1:1", "same rhythm as 1:1"; empty where it is not.
std::string likeness_words(const Score& score, const BoundarySurvey& survey, Span span,
                           Span earlier) {
  constexpr double kSame = 0.9;
  const Resemblance alike = resemblance(survey.line, span, earlier);
  if (alike.rhythm < kSame) return {};
  const std::string where = to_string(score.bars.position_of(earlier.begin));
  if (alike.pitch >= kSame) return "same as " + where;
  if (alike.contour >= kSame) return "as " + where + " in another place";
  return "same rhythm as " + where;
}

// Against the opening of the piece, then the sentence before, then the phrase before.
std::string parallel_words(const Score& score, const BoundarySurvey& survey,
                           const Structure& structure, std::size_t phrase,
                           std::size_t sentence_before) {
  const Span span = opening_of(structure, phrase);
  std::string best;
  for (const std::size_t earlier : {std::size_t{0}, sentence_before, phrase - 1}) {
    const std::string words = likeness_words(score, survey, span, opening_of(structure, earlier));
    if (best.empty() || (words.starts_with("same as") && !best.starts_with("same as"))) {
      best = words;
    }
  }
  return best;
}

}  // namespace

std::vector<std::string> phrase_words(const Score& score, const BoundarySurvey& survey,
                                      Beats upbeat, const Structure& structure) {
  std::vector<std::string> all;
  std::size_t sentence = 0;
  for (std::size_t i = 0; i < structure.phrases.size(); ++i) {
    if (i == 0) {
      all.emplace_back("the piece begins");
      continue;
    }
    while (sentence + 1 < structure.sentences.size() && structure.sentences[sentence + 1] <= i) {
      ++sentence;
    }
    const std::size_t before = structure.sentences[sentence > 0 ? sentence - 1 : 0];
    std::string words = words_of(cues_at(survey, begin_of(structure, i), upbeat));
    const std::string parallel = parallel_words(score, survey, structure, i, before);
    if (!parallel.empty()) words += (words.empty() ? "" : ", ") + parallel;
    all.push_back(words.empty() ? "keeps the measure" : words);
  }
  return all;
}

std::vector<std::string> words_instead(const Score& score, const Structure& structure,
                                       const std::vector<std::string>& words,
                                       const Structure& other) {
  constexpr std::size_t kMostPlaces = 4;
  // Beginnings by moment: whether they begin a sentence, too.
  const auto begins = [](const Structure& of) {
    std::map<double, bool> found;
    for (std::size_t i = 0; i < of.phrases.size(); ++i) {
      found[begin_of(of, i).value] = std::ranges::binary_search(of.sentences, i);
    }
    return found;
  };
  const std::map<double, bool> others = begins(other);
  std::vector<std::string> said;
  const auto say = [&](bool is_sentence, Beats at, const std::string& why) {
    if (said.size() >= kMostPlaces) return;
    said.push_back(fmt::format("begins a {} at {}{}", is_sentence ? "sentence" : "phrase",
                               to_string(score.bars.position_of(at)), why));
  };
  for (std::size_t i = 0; i < structure.phrases.size(); ++i) {
    const Beats at = begin_of(structure, i);
    const auto known = others.lower_bound((at - kSameMoment).value);
    const bool is_known = known != others.end() && known->first < (at + kSameMoment).value;
    const bool is_sentence = std::ranges::binary_search(structure.sentences, i);
    if (is_known && (known->second || !is_sentence)) continue;
    say(is_sentence, at, " (" + words[i] + ")");
  }
  if (said.empty()) said.emplace_back("fewer beginnings: longer blocks");
  return said;
}

}  // namespace arsis
