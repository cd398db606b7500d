// What a teacher would say of a take.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "tool/take_words.h"

namespace arsis {
namespace {

std::string ordinal(std::uint32_t index) {
  constexpr std::array<std::string_view, 8> kOrdinals = {"first", "second", "third",   "fourth",
                                                         "fifth", "sixth",  "seventh", "eighth"};
  if (index < kOrdinals.size()) return std::string(kOrdinals[index]);
  return fmt::format("number {}", index + 1);
}

std::string counted(std::size_t count, std::string_view noun) {
  return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

bool is_one_bar(const Score& score, Span span) {
  return score.bars.at(span.begin).number ==
         score.bars.at(std::max(span.begin, span.end - kSameMoment)).number;
}

// Spans of moments that were left out, of hands that were played; each bar after bar.
std::vector<Span> left_out(const Score& score, const Alignment& alignment) {
  std::vector<Span> spans;
  for (const std::uint32_t note : alignment.omitted) {
    const Note& written = score.notes[note];
    if (!alignment.parts[written.part]) continue;
    const Span bar = score.bars.at(written.onset).span;
    const bool goes_on = !spans.empty() && written.onset <= spans.back().end + kSameMoment;
    if (goes_on) {
      spans.back().end = std::max(spans.back().end, bar.end);
    } else {
      spans.push_back({written.onset, bar.end});
    }
  }
  return spans;
}

// "1.4 dB and 6 % more time"; what speaks the other way, or is nothing much beside the rest, is
// left to the table.
std::string by_text(const Audible& by) {
  constexpr Decibels kLittleLevel = kLevelStep / 2.0;
  constexpr double kLittleTime = 0.02;  // 2.5 % are noticed
  const bool level = by.level && *by.level >= kLittleLevel;
  const bool time = by.time && *by.time >= kLittleTime;
  std::string text;
  if (level) text = fmt::format("{:.1f} dB", by.level->value);
  if (time) text += fmt::format("{}{:.0f} % more time", level ? " and " : "", *by.time * 100.0);
  return text;
}

// " by 1.4 dB"; empty where neither is much.
std::string by_words(const Audible& by) {
  const std::string text = by_text(by);
  return text.empty() ? text : " by " + text;
}

void add_leads(std::vector<std::string>& lines, const Loaded& loaded, Level level,
               const std::vector<Lead>& leads) {
  const std::vector<Block>& blocks = loaded.bound.level(level);
  const std::string_view member = level == Level::kPhrase ? "motif" : "phrase";
  const Tally tally = tally_of(leads);
  if (tally.judged() == 0) {
    lines.push_back(
        fmt::format("too little was played to tell what leads in the {}s", name_of(level)));
    return;
  }
  std::string line =
      fmt::format("{} of {} lead{} where you planned", tally.as_planned,
                  counted(tally.judged(), name_of(level)), tally.as_planned == 1 ? "s" : "");
  if (tally.not_audible > 0) {
    line += fmt::format("; in {} no member is heard to lead", tally.not_audible);
  }
  if (tally.cannot_tell > 0) {
    line += fmt::format("; of {} there is too little to tell", tally.cannot_tell);
  }
  lines.push_back(std::move(line));
  for (std::size_t i = 0; i < leads.size(); ++i) {
    if (leads[i].verdict != Verdict::kOtherwise) continue;
    lines.push_back(
        fmt::format("in {} {} the {} {} overtakes the {}{}", name_of(level),
                    block_name(loaded.bound, level, i), ordinal(leads[i].heard - blocks[i].first),
                    member, ordinal(leads[i].planned - blocks[i].first), by_words(leads[i].by)));
  }
}

void add_piece(std::vector<std::string>& lines, const Lead& lead) {
  const std::string planned = ordinal(lead.planned);
  switch (lead.verdict) {
    case Verdict::kAsPlanned:
      lines.push_back(fmt::format("the {} sentence leads the piece, as you planned", planned));
      return;
    case Verdict::kOtherwise:
      lines.push_back(fmt::format("in the piece the {} sentence overtakes the {}{}",
                                  ordinal(lead.heard), planned, by_words(lead.by)));
      return;
    case Verdict::kNotAudible:
      lines.push_back(
          fmt::format("which sentence leads the piece is not audible (planned: the {})", planned));
      return;
    case Verdict::kCannotTell:
      lines.emplace_back("too little was played to tell which sentence leads the piece");
      return;
  }
}

void add_arcs(std::vector<std::string>& lines, const Loaded& loaded, const Comparison& heard) {
  const auto is_heard = [](const auto& row) {
    return row.verdict == Verdict::kAsPlanned || row.verdict == Verdict::kOtherwise;
  };
  const bool flat = std::ranges::none_of(heard.sentences, is_heard) &&
                    std::ranges::none_of(heard.phrases, is_heard) &&
                    std::ranges::none_of(heard.motifs, is_heard);
  const bool judged = tally_of(heard.phrases).judged() + tally_of(heard.motifs).judged() > 0;
  if (flat && judged) {
    lines.emplace_back("no arc is audible: to a listener this take is flat");
    return;
  }
  add_leads(lines, loaded, Level::kPhrase, heard.phrases);
  add_leads(lines, loaded, Level::kSentence, heard.sentences);
  if (heard.piece) add_piece(lines, *heard.piece);
  const Tally motifs = tally_of(heard.motifs);
  if (motifs.judged() == 0) return;
  std::string line = fmt::format(
      "{} of {} grow{} to {} last interval", motifs.as_planned, counted(motifs.judged(), "motif"),
      motifs.as_planned == 1 ? "s" : "", motifs.as_planned == 1 ? "its" : "their");
  if (motifs.otherwise > 0) {
    line +=
        fmt::format("; {} fall{} away from it", motifs.otherwise, motifs.otherwise == 1 ? "s" : "");
  }
  if (motifs.not_audible > 0) line += fmt::format("; in {} no growth is heard", motifs.not_audible);
  if (motifs.cannot_tell > 0) {
    line += fmt::format("; of {} there is too little to tell", motifs.cannot_tell);
  }
  lines.push_back(std::move(line));
}

void add_dynamics(std::vector<std::string>& lines, const Loaded& loaded,
                  const DynamicsHeard& heard) {
  const auto at = [&](Beats moment) { return to_string(loaded.score.bars.position_of(moment)); };
  const Tally changes = tally_of(heard.changes);
  const Tally hairpins = tally_of(heard.hairpins);
  const std::size_t judged = changes.judged() + hairpins.judged();
  if (judged == 0) return;
  lines.push_back(fmt::format("{} of {} are heard", changes.as_planned + hairpins.as_planned,
                              counted(judged, "written dynamic")));
  for (const DynamicChange& change : heard.changes) {
    if (change.verdict != Verdict::kOtherwise) continue;
    const auto name = [](int step) {
      return dynamic_name(std::clamp(step, kSoftestStep, kLoudestStep));
    };
    lines.push_back(fmt::format("the {} at {} is {} than the {} before it, by {:.1f} dB",
                                name(change.to_step), at(change.at),
                                change.heard.value > 0.0 ? "louder" : "softer",
                                name(change.from_step), std::abs(change.heard.value)));
  }
  for (const HairpinHeard& hairpin : heard.hairpins) {
    if (hairpin.verdict != Verdict::kOtherwise) continue;
    const std::string_view name = hairpin.falls ? "diminuendo" : "crescendo";
    const bool swells = hairpin.swell && *hairpin.swell >= kLevelStep;
    lines.push_back(swells ? fmt::format("the {} from {} swells by {:.1f} dB at {}", name,
                                         at(hairpin.span.begin), hairpin.swell->value,
                                         at(hairpin.swells_at))
                           : fmt::format("the {} from {} goes the other way, by {:.1f} dB", name,
                                         at(hairpin.span.begin), std::abs(hairpin.heard.value)));
  }
}

void add_ends(std::vector<std::string>& lines, const std::vector<BlockEnd>& ends) {
  std::size_t breathed = 0;
  std::size_t judged = 0;
  std::size_t pedalled = 0;
  for (const BlockEnd& end : ends) {
    breathed += end.breath == Verdict::kAsPlanned;
    judged += end.breath != Verdict::kCannotTell;
    pedalled += end.under_pedal;
  }
  if (judged > 0) {
    lines.push_back(
        fmt::format("there is a breath after {} of {}", breathed, counted(judged, "phrase")));
  }
  if (pedalled > 0) {
    lines.push_back(fmt::format("the pedal covers the end of {}", counted(pedalled, "phrase")));
  }
}

void add_touch(std::vector<std::string>& lines, const Loaded& loaded, const Comparison& heard) {
  const auto part_name = [&](std::uint16_t part) {
    const std::string name = printable(loaded.bound.parts[part].name);
    return name.empty() ? fmt::format("part {}", part + 1) : "the " + name;
  };
  const TempoHeard& tempo = heard.tempo;
  if (tempo.speed) {
    std::string line = fmt::format("the tempo is {:.0f} % of the score's", *tempo.speed * 100.0);
    if (tempo.verdict == Verdict::kAsPlanned) line += " and does not drift";
    if (tempo.verdict == Verdict::kOtherwise) {
      line +=
          fmt::format(" and {} by {:.0f} % to the last sentence",
                      *tempo.drift > 0.0 ? "quickens" : "slackens", std::abs(*tempo.drift) * 100.0);
    }
    lines.push_back(std::move(line));
  }
  for (const BalanceHeard& balance : heard.balance) {
    if (!balance.heard) continue;
    lines.push_back(fmt::format(
        "the melody is {:.1f} dB {} {} (planned: {:.1f} dB over) and sounds {:.0f} ms {} it",
        std::abs(balance.heard->value), balance.heard->value < 0.0 ? "under" : "over",
        part_name(balance.part), balance.planned.value, std::abs(balance.lead->value) * 1e3,
        balance.lead->value < 0.0 ? "after" : "before"));
  }
  for (const EvennessHeard& evenness : heard.evenness) {
    if (evenness.verdict != Verdict::kOtherwise) continue;
    lines.push_back(fmt::format("equal notes of {} are uneven: by {:.0f} ms, {:.0f} % of each",
                                part_name(evenness.part), evenness.time->value * 1e3,
                                *evenness.share * 100.0));
  }
}

}  // namespace

std::vector<std::string> course_of(const Loaded& loaded, const ComparedTake& take) {
  const Score& score = loaded.score;
  const Alignment& alignment = take.alignment;
  std::vector<std::string> lines;
  for (const PlayedStretch& stretch : alignment.stretches) {
    if (stretch.again.length() <= kSameMoment) continue;
    lines.push_back(fmt::format("{} {} played again; the last time counts",
                                bars_text(score.bars, stretch.again),
                                is_one_bar(score, stretch.again) ? "was" : "were"));
  }
  for (const Span& span : left_out(score, alignment)) {
    lines.push_back(fmt::format("{} {} left out", bars_text(score.bars, span),
                                is_one_bar(score, span) ? "was" : "were"));
  }
  for (std::size_t part = 0; part < alignment.parts.size(); ++part) {
    if (alignment.parts[part]) continue;
    const std::string name = printable(loaded.bound.parts[part].name);
    lines.push_back(fmt::format("{} was not played",
                                name.empty() ? fmt::format("part {}", part + 1) : "the " + name));
  }
  if (!take.comparison.melody_played) {
    lines.emplace_back("without the melody only the time is judged, no level");
  }
  return lines;
}

std::vector<std::string> summary_of(const Loaded& loaded, const ComparedTake& take) {
  std::vector<std::string> lines;
  if (loaded.bound.sentences.empty()) {
    lines.emplace_back("the plan has no blocks to compare");
  } else {
    add_arcs(lines, loaded, take.comparison);
    add_ends(lines, take.comparison.ends);
  }
  add_dynamics(lines, loaded, take.comparison.dynamics);
  add_touch(lines, loaded, take.comparison);
  return lines;
}

}  // namespace arsis
