#include "draft/draft_remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

namespace arsis {
namespace {

// The candidate other than the main one with the greatest total.
std::size_t runner_up(const Choice& choice) {
  std::size_t best = choice.main == 0 ? 1 : 0;
  for (std::size_t i = best + 1; i < choice.candidates.size(); ++i) {
    if (i != choice.main && choice.candidates[i].total > choice.candidates[best].total) best = i;
  }
  return best;
}

// What speaks for one candidate against another, the weightiest first; at most `most`.
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
    text += (i == 0 ? "" : ", ") + leads[i].second;
  }
  return text;
}

class Remarks {
 public:
  Remarks(const Draft& draft, bool why)
      : draft_(draft), structure_(draft.structures.front().structure), why_(why) {}

  PlanRemarks make() {
    PlanRemarks remarks;
    remarks.head = {
        "A draft: what the score speaks for. Listen, then change what you hear otherwise.",
        "? marks a choice in doubt, with the runner-up and by how much it lags behind."};
    const std::string& cell = draft_.structures.front().cell_words;
    if (!cell.empty()) remarks.cell = "Motifs begin " + cell;
    for (const DraftedPart& part : draft_.parts) remarks.parts.push_back(part.words);
    for (std::size_t i = 0; i < structure_.sentences.size(); ++i) {
      remarks.sentences.push_back(sentence(i));
    }
    if (const auto& piece = draft_.mains.piece) {
      remarks.main = "Sentence " + choice_words(*piece, "sentence");
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

  std::vector<std::string> sentence(std::size_t index) {
    const std::size_t first = structure_.sentences[index];
    const std::size_t end = index + 1 < structure_.sentences.size()
                                ? structure_.sentences[index + 1]
                                : structure_.phrases.size();
    std::vector<std::string> lines;
    const auto& words = draft_.structures.front().phrase_words;
    lines.push_back(fmt::format(
        "{}: {} to {}, {}", index + 1, place(structure_.motifs[first_motif(first)].begin),
        place(structure_.motifs[end_motif(end - 1) - 1].end), words[first]));
    const Choice& choice = draft_.mains.sentences[index];
    if (end - first > 1) {
      lines.back() += fmt::format("; phrase {}", choice_words(choice, "phrase"));
      if (why_) add_table(choice, "phrase", lines);
    }
    for (std::size_t i = first; i < end; ++i) add_phrase(index, i - first, i, lines);
    return lines;
  }

  void add_phrase(std::size_t sentence, std::size_t number, std::size_t phrase,
                  std::vector<std::string>& lines) {
    const Choice& choice = draft_.mains.phrases[phrase];
    const Span span{structure_.motifs[first_motif(phrase)].begin,
                    structure_.motifs[end_motif(phrase) - 1].end};
    std::string line = fmt::format("   {}.{} at {}", sentence + 1, number + 1, place(span.begin));
    if (number > 0) line += fmt::format(" ({})", draft_.structures.front().phrase_words[phrase]);
    if (choice.candidates.size() > 1)
      line += fmt::format(": motif {}", choice_words(choice, "motif"));
    lines.push_back(line);
    if (why_ && choice.candidates.size() > 1) add_table(choice, "motif", lines);
    for (std::size_t i = first_motif(phrase); i < end_motif(phrase); ++i) {
      const Landing& landing = draft_.landings[i];
      if (landing.kind != LandingKind::kFeminine && landing.kind != LandingKind::kRest) continue;
      lines.push_back(
          fmt::format("       motif {}: {}", i - first_motif(phrase) + 1, landing.words));
    }
  }

  static void add_table(const Choice& choice, std::string_view member,
                        std::vector<std::string>& lines) {
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

std::string reason_of(const Choice& choice) {
  if (choice.candidates.size() < 2) return {};
  constexpr std::size_t kMostReasons = 2;
  return words_for(choice, choice.main, runner_up(choice), kMostReasons);
}

std::string choice_words(const Choice& choice, const std::string& member) {
  if (choice.candidates.size() < 2) return {};
  const std::size_t other = runner_up(choice);
  std::string text = fmt::format("{} leads", choice.main + 1);
  if (choice.by_pattern) text += " as in its neighbours";
  const std::string reason = reason_of(choice);
  if (!reason.empty()) text += ": " + reason;
  if (!choice.doubtful) return text;
  const std::string against = words_for(choice, other, choice.main, 1);
  return fmt::format("{} ? {} {} {} by {:.2f}{}", text, member, other + 1,
                     choice.margin < 0.0 ? "is ahead" : "lags", std::abs(choice.margin),
                     against.empty() ? "" : ": " + against);
}

PlanRemarks remarks_of(const Draft& draft, bool why) { return Remarks(draft, why).make(); }

}  // namespace arsis
