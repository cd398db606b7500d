// The tables of a comparison: every block of one take, and several takes beside each other.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "tool/take_words.h"

namespace arsis {
namespace {

// With its sign; what rounds to nothing has none.
std::string signed_text(double value, std::string_view unit) {
  const double rounded = std::round(value * 10.0) / 10.0;
  return rounded == 0.0 ? fmt::format("0 {}", unit) : fmt::format("{:+.1f} {}", rounded, unit);
}

std::string level_text(const Audible& by) {
  return by.level ? signed_text(by.level->value, "dB") : "-";
}
std::string time_text(const Audible& by) {
  return by.time ? signed_text(*by.time * 100.0, "%") : "-";
}

class BlockTable {
 public:
  BlockTable(const Loaded& loaded, const Comparison& heard) : plan_(loaded.bound), heard_(heard) {}

  std::string text() {
    line("", "planned", "heard", "level", "time", "breath", "verdict");
    if (heard_.piece) add_lead("piece", Level::kSentence, *heard_.piece, "");
    for (std::size_t s = 0; s < plan_.sentences.size(); ++s) {
      add_lead(name_of_block(Level::kSentence, s), Level::kPhrase, heard_.sentences[s], "");
      const Block& sentence = plan_.sentences[s];
      for (std::uint32_t p = sentence.first; p < sentence.first + sentence.count; ++p) {
        add_phrase(p);
      }
    }
    return std::move(text_);
  }

 private:
  void line(std::string_view name, std::string_view planned, std::string_view heard,
            std::string_view level, std::string_view time, std::string_view breath,
            std::string_view verdict) {
    text_ += fmt::format("{:<22}{:<9}{:<9}{:>9}{:>9}{:>9}  {}\n", name, planned, heard, level, time,
                         breath, verdict);
  }

  std::string name_of_block(Level level, std::size_t index) const {
    return fmt::format("{:{}}{} {}", "", 2 * (2 - static_cast<int>(index_of(level))),
                       name_of(level), block_name(plan_, level, index));
  }

  // `within`: the level of its members.
  void add_lead(std::string_view name, Level within, const Lead& lead, std::string_view breath) {
    const bool known = lead.verdict != Verdict::kCannotTell;
    line(
        name, block_name(plan_, within, lead.planned),
        known && lead.verdict != Verdict::kNotAudible ? block_name(plan_, within, lead.heard) : "-",
        level_text(lead.by), time_text(lead.by), breath, verdict_name(lead.verdict));
  }

  void add_phrase(std::uint32_t index) {
    const BlockEnd& end = heard_.ends[index];
    const std::string breath = end.under_pedal ? "pedal"
                               : end.gap       ? fmt::format("{:.0f} ms", end.gap->value * 1e3)
                                               : "-";
    add_lead(name_of_block(Level::kPhrase, index), Level::kMotif, heard_.phrases[index], breath);
    const Block& phrase = plan_.phrases[index];
    for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
      const Growth& growth = heard_.motifs[m];
      const std::string_view way = growth.verdict == Verdict::kAsPlanned   ? "grows"
                                   : growth.verdict == Verdict::kOtherwise ? "falls"
                                                                           : "-";
      line(name_of_block(Level::kMotif, m), "grows", way, level_text(growth.by),
           time_text(growth.by), "", verdict_name(growth.verdict));
    }
  }

  const BoundPlan& plan_;
  const Comparison& heard_;
  std::string text_;
};

std::string dynamics_table(const Loaded& loaded, const DynamicsHeard& heard) {
  if (heard.changes.empty() && heard.hairpins.empty()) return {};
  const auto at = [&](Beats moment) { return to_string(loaded.score.bars.position_of(moment)); };
  const auto name = [](int step) {
    return dynamic_name(std::clamp(step, kSoftestStep, kLoudestStep));
  };
  std::string text = "\nwritten dynamics\n";
  const auto line = [&](const std::string& what, const std::string& where, Verdict verdict,
                        Decibels change) {
    const bool known = verdict != Verdict::kCannotTell;
    text += fmt::format("  {:<20}{:<18}{:>9}  {}\n", what, where,
                        known ? signed_text(change.value, "dB") : "-", verdict_name(verdict));
  };
  for (const DynamicChange& change : heard.changes) {
    line(fmt::format("{} after {}", name(change.to_step), name(change.from_step)), at(change.at),
         change.verdict, change.heard);
  }
  for (const HairpinHeard& hairpin : heard.hairpins) {
    line(hairpin.falls ? "diminuendo" : "crescendo",
         fmt::format("{} to {}", at(hairpin.span.begin), at(hairpin.span.end)), hairpin.verdict,
         hairpin.heard);
  }
  return text;
}

// "12 of 14".
template <class Row>
std::string share_text(const std::vector<Row>& rows) {
  const Tally tally = tally_of(rows);
  return fmt::format("{} of {}", tally.as_planned, tally.judged());
}

// The widest unevenness of any part, as a share of an interval.
std::string unevenness_text(const Comparison& heard) {
  std::optional<double> most;
  for (const EvennessHeard& evenness : heard.evenness) {
    if (evenness.share) most = std::max(most.value_or(0.0), *evenness.share);
  }
  return most ? fmt::format("{:.1f} %", *most * 100.0) : "-";
}

}  // namespace

std::string_view verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::kAsPlanned:
      return "as planned";
    case Verdict::kOtherwise:
      return "otherwise";
    case Verdict::kNotAudible:
      return "not audible";
    case Verdict::kCannotTell:
      break;
  }
  return "cannot tell";
}

std::string comparison_table(const Loaded& loaded, const ComparedTake& take) {
  std::string text;
  if (!loaded.bound.sentences.empty()) text = BlockTable(loaded, take.comparison).text();
  return text + dynamics_table(loaded, take.comparison.dynamics);
}

std::string trend_table(const std::vector<ComparedTake>& takes) {
  std::size_t width = 4;
  for (const ComparedTake& take : takes) {
    width = std::max(width, printable(take.file.path.filename().string()).size());
  }
  std::string text = fmt::format(
      "{:<{}}  {:<16}  {:>9}  {:>9}  {:>9}  {:>9}  {:>7}  {:>7}  {:>8}  {:>8}\n", "take", width,
      "date", "sentences", "phrases", "motifs", "dynamics", "tempo", "drift", "balance", "uneven");
  for (const ComparedTake& take : takes) {
    const Comparison& heard = take.comparison;
    const Tally changes = tally_of(heard.dynamics.changes);
    const Tally hairpins = tally_of(heard.dynamics.hairpins);
    const bool balanced = !heard.balance.empty() && heard.balance.front().heard;
    text += fmt::format(
        "{:<{}}  {:<16}  {:>9}  {:>9}  {:>9}  {:>9}  {:>7}  {:>7}  {:>8}  {:>8}\n",
        printable(take.file.path.filename().string()), width, take.file.date,
        share_text(heard.sentences), share_text(heard.phrases), share_text(heard.motifs),
        fmt::format("{} of {}", changes.as_planned + hairpins.as_planned,
                    changes.judged() + hairpins.judged()),
        heard.tempo.speed ? fmt::format("{:.0f} %", *heard.tempo.speed * 100.0) : "-",
        heard.tempo.drift ? signed_text(*heard.tempo.drift * 100.0, "%") : "-",
        balanced ? signed_text(heard.balance.front().heard->value, "dB") : "-",
        unevenness_text(heard));
  }
  return text;
}

}  // namespace arsis
