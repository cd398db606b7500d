#include "draft/draft_remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>

namespace arsis {
namespace {

constexpr std::size_t kLongestReasons = 70;  // bytes, of several reasons

// The candidate other than that one with the greatest total.
std::size_t best_beside(const Choice& choice, std::size_t member) {
  std::size_t best = member == 0 ? 1 : 0;
  for (std::size_t i = best + 1; i < choice.candidates.size(); ++i) {
    if (i != member && choice.candidates[i].total > choice.candidates[best].total) best = i;
  }
  return best;
}

std::size_t runner_up(const Choice& choice) { return best_beside(choice, choice.main); }

// What speaks for one candidate against another, the weightiest first; at most `most`, and no more
// than a line holds.
std::string words_for(const Choice& choice, std::size_t candidate, std::size_t other,
                      std::size_t most) {
  std::vector<std::pair<double, std::string>> leads;
  for (const FeatureWeight& feature : kFeatureWeights) {
    const Finding& own = choice.candidates[candidate].of(feature.feature);
    const double lead =
        (own.score - choice.candidates[other].of(feature.feature).score) * feature.weight;
    if (lead > 0.0 && !own.words.empty()) leads.emplace_back(lead, own.words);
  }
  std::ranges::stable_sort(leads, std::greater<>{}, &std::pair<double, std::string>::first);
  std::string text;
  for (std::size_t i = 0; i < std::min(most, leads.size()); ++i) {
    if (i > 0 && text.size() + leads[i].second.size() > kLongestReasons) break;
    text += (i == 0 ? "" : ", ") + leads[i].second;
  }
  return text;
}

// The first and the last of what "a, b, c" says: the weightiest cue, and the passage that is alike.
std::string ends_of(const std::string& words) {
  constexpr std::string_view kComma = ", ";
  const std::size_t first = words.find(kComma);
  const std::size_t last = words.rfind(kComma);
  return first == last ? words : words.substr(0, first) + words.substr(last);
}

class Remarks {
 public:
  Remarks(const Draft& draft, bool why)
      : draft_(draft), structure_(draft.structures.front().structure), why_(why) {}

  PlanRemarks make() {
    PlanRemarks remarks;
    remarks.head = {
        "A draft: what the score speaks for. Listen, then change what you hear otherwise.",
        "Each block: where it begins and why there, which member leads and why. ?: in doubt, with",
        "the other choice and by how much it is behind."};
    const std::string& cell = draft_.structures.front().cell_words;
    if (!cell.empty()) remarks.cell = "The cell: " + cell;
    for (const DraftedPart& part : draft_.parts) remarks.parts.push_back(part.words);
    for (std::size_t i = 0; i < structure_.sentences.size(); ++i) {
      remarks.sentences.push_back(sentence(i));
    }
    if (const auto& piece = draft_.mains.piece) {
      remarks.main = fmt::format("Sentence {}", choice_words(*piece));
    }
    for (std::size_t i = 1; i < draft_.structures.size(); ++i) add_other(i, remarks.tail);
    return remarks;
  }

 private:
  std::string place(Beats at) const { return to_string(draft_.score.bars.position_of(at)); }
  std::size_t first_motif(std::size_t phrase) const { return structure_.phrases[phrase]; }
  std::size_t end_motif(std::size_t phrase) const {
    return phrase + 1 < structure_.phrases.size() ? structure_.phrases[phrase + 1]
                                                  : structure_.motifs.size();
  }

  std::vector<std::string> sentence(std::size_t index) const {
    const std::size_t first = structure_.sentences[index];
    const std::size_t end = index + 1 < structure_.sentences.size()
                                ? structure_.sentences[index + 1]
                                : structure_.phrases.size();
    std::vector<std::string> lines;
    const std::string& begins = draft_.structures.front().phrase_words[first];
    lines.push_back(line_of(fmt::format("{}", index + 1), first, begins,
                            draft_.mains.sentences[index], "phrase"));
    if (why_) add_table(draft_.mains.sentences[index], "phrase", lines);
    for (std::size_t i = first; i < end; ++i) {
      const std::string& words = draft_.structures.front().phrase_words[i];
      const Choice& choice = draft_.mains.phrases[i];
      lines.push_back(line_of(fmt::format("  {}.{}", index + 1, i - first + 1), i,
                              i == first ? "" : words, choice, "motif"));
      if (why_) add_table(choice, "motif", lines);
      add_landings(i, lines);
    }
    return lines;
  }

  // "? 1.2 at 3:3 (rest before it): motif 2 leads, climbs to G5; 1 is 0.2 behind".
  std::string line_of(const std::string& name, std::size_t phrase, const std::string& begins,
                      const Choice& choice, std::string_view member) const {
    std::string line = fmt::format("{} {} at {}", choice.doubtful ? "?" : " ", name,
                                   place(structure_.motifs[first_motif(phrase)].begin));
    if (!begins.empty()) line += fmt::format(" ({})", ends_of(begins));
    const std::string words = choice_words(choice);
    return words.empty() ? line : fmt::format("{}: {} {}", line, member, words);
  }

  // The motifs that end on a weak place or stop before a rest; each in words where `why_` asks.
  void add_landings(std::size_t phrase, std::vector<std::string>& lines) const {
    std::array<std::string, 2> numbers;
    for (std::size_t i = first_motif(phrase); i < end_motif(phrase); ++i) {
      const Landing& landing = draft_.landings[i];
      const bool feminine = landing.kind == LandingKind::kFeminine;
      if (!feminine && landing.kind != LandingKind::kRest) continue;
      const std::size_t number = i - first_motif(phrase) + 1;
      if (why_) lines.push_back(fmt::format("        motif {}: {}", number, landing.words));
      std::string& list = numbers[feminine ? 0 : 1];
      list += fmt::format("{}{}", list.empty() ? "" : ", ", number);
    }
    if (why_) return;
    if (!numbers[0].empty()) lines.back() += fmt::format("; feminine ending: {}", numbers[0]);
    if (!numbers[1].empty()) lines.back() += fmt::format("; stops on a rest: {}", numbers[1]);
  }

  static void add_table(const Choice& choice, std::string_view member,
                        std::vector<std::string>& lines) {
    if (choice.candidates.size() < 2) return;
    std::string head = fmt::format("       {:<10}", "");
    for (const FeatureWeight& feature : kFeatureWeights) {
      head += fmt::format(" {:>{}}", feature.name, feature.name.size());
    }
    lines.push_back(head + "  total");
    for (std::size_t i = 0; i < choice.candidates.size(); ++i) {
      std::string row = fmt::format("       {:<10}", fmt::format("{} {}", member, i + 1));
      for (const FeatureWeight& feature : kFeatureWeights) {
        row += fmt::format(" {:>{}.2f}",
                           choice.candidates[i].of(feature.feature).score * feature.weight,
                           feature.name.size());
      }
      lines.push_back(row + fmt::format("  {:5.2f}", choice.candidates[i].total));
    }
  }

  void add_other(std::size_t index, std::vector<std::string>& lines) const {
    const ScoredStructure& other = draft_.structures[index];
    lines.push_back("");
    lines.push_back(
        fmt::format("Another structure, {} of {} (worth {:.2f}, this one {:.2f}):", index + 1,
                    draft_.structures.size(), other.total, draft_.structures.front().total));
    for (const std::string& words : other.instead) lines.push_back("  " + words);
    Plan shown = draft_.others[index - 1];
    shown.parts.clear();
    std::istringstream text(plan_text(shown));
    bool begun = false;
    for (std::string line; std::getline(text, line);) {
      begun = begun || line.starts_with("motif:");
      if (begun) lines.push_back(line);
    }
  }

  const Draft& draft_;
  const Structure& structure_;
  bool why_;
};

}  // namespace

std::string reason_for(const Choice& choice, std::size_t member) {
  if (choice.candidates.size() < 2) return {};
  constexpr std::size_t kMostReasons = 2;
  return words_for(choice, member, best_beside(choice, member), kMostReasons);
}

std::string reason_of(const Choice& choice) { return reason_for(choice, choice.main); }

std::string choice_words(const Choice& choice) {
  if (choice.candidates.size() < 2) return {};
  std::string text = fmt::format("{} leads", choice.main + 1);
  if (choice.by_pattern) text += " as in its neighbours";
  const std::string reason = reason_of(choice);
  if (!reason.empty()) text += ", " + reason;
  if (!choice.doubtful) return text;
  const std::size_t other = runner_up(choice);
  const std::string against = words_for(choice, other, choice.main, 1);
  return fmt::format("{}; {} is {:.2f} {}{}", text, other + 1, std::abs(choice.margin),
                     choice.margin < 0.0 ? "ahead" : "behind",
                     against.empty() ? "" : " (" + against + ")");
}

PlanRemarks remarks_of(const Draft& draft, bool why) { return Remarks(draft, why).make(); }

}  // namespace arsis
