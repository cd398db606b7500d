#include "tool/heard_readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <filesystem>
#include <utility>

#include "base/text.h"
#include "draft/draft_remarks.h"

namespace arsis {
namespace {

constexpr std::size_t kMostDifferences = 3;  // of two plans, told in one line
constexpr const char* kNoEvidence = "nothing in the score speaks for it";

const Choice& choice_of(const Mains& mains, const BoundPlan& bound, const LedBlock& block) {
  if (block.level == Level::kSentence) return mains.sentences[block.sentence];
  return mains.phrases[bound.sentences[block.sentence].first + block.phrase];
}

// Whether both plans have the same blocks, whatever leads them.
bool same_blocks(const BoundPlan& a, const BoundPlan& b) {
  return std::ranges::all_of(kEveryLevel, [&](Level level) {
    return level == Level::kPiece ||
           std::ranges::equal(a.level(level), b.level(level), {}, &Block::span, &Block::span);
  });
}

// "phrase 1.1: motif 2, sentence 1: phrase 2": the mains of `own` that the other has otherwise.
std::string differences(const BoundPlan& own, const BoundPlan& other, Span span) {
  if (!same_blocks(own, other)) return "divides the passage in its own way";
  std::string text;
  std::size_t count = 0;
  const auto add = [&](const std::string& words) {
    if (++count <= kMostDifferences) text += (text.empty() ? "" : ", ") + words;
  };
  for (const Level level : {Level::kPhrase, Level::kSentence}) {
    const std::vector<Block>& blocks = own.level(level);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      const Block& block = blocks[i];
      if (block.span.end <= span.begin || block.span.begin >= span.end) continue;
      if (block.main == other.level(level)[i].main) continue;
      add(fmt::format("{} {}: {} {}", name_of(level), block_name(own, level, i),
                      name_of(kEveryLevel[index_of(level) - 1]), block.main - block.first + 1));
    }
  }
  if (count > kMostDifferences) text += fmt::format(" and {} more", count - kMostDifferences);
  return text.empty() ? "has the same mains here" : text;
}

}  // namespace

LedBlock block_of(const PassageOptions& words) {
  const auto number = [](std::string_view text) {
    return static_cast<std::size_t>(parse_integer(text).value_or(1) - 1);
  };
  if (!words.phrase.empty()) {
    const std::string_view name = trimmed(words.phrase);
    const std::size_t point = name.find('.');
    assert(point != std::string_view::npos);
    return {Level::kPhrase, number(name.substr(0, point)), number(name.substr(point + 1))};
  }
  if (!words.sentence.empty()) return {Level::kSentence, number(trimmed(words.sentence)), 0};
  return {Level::kPiece, 0, 0};
}

std::string name_of(const LedBlock& block) {
  if (block.level == Level::kPiece) return "the piece";
  if (block.level == Level::kSentence) return fmt::format("sentence {}", block.sentence + 1);
  return fmt::format("phrase {}.{}", block.sentence + 1, block.phrase + 1);
}

std::optional<Mains> mains_for(const Loaded& loaded) {
  if (loaded.bound.sentences.empty()) return std::nullopt;
  return choose_mains(Material{loaded.score, loaded.bound, loaded.printed},
                      structure_of(loaded.bound));
}

std::vector<HeardReading> readings_heard(const Loaded& loaded, const LedBlock& block,
                                         const Mains& mains) {
  std::vector<HeardReading> heard;
  for (Reading& reading : readings_of(loaded.plan, block)) {
    HeardReading& each = heard.emplace_back();
    const bool is_piece = block.level == Level::kPiece;
    const Choice* choice =
        is_piece ? (mains.piece ? &*mains.piece : nullptr) : &choice_of(mains, loaded.bound, block);
    if (choice != nullptr && reading.main) each.evidence = reason_for(*choice, *reading.main);
    if (each.evidence.empty()) each.evidence = kNoEvidence;
    each.name = reading.name;
    each.is_own = reading.is_own;
    each.reading = std::move(reading);
  }
  return heard;
}

std::vector<HeardReading> plans_heard(const Loaded& plan, const Loaded& other, Span span) {
  std::vector<HeardReading> heard(2);
  const auto file_name = [](const Loaded& loaded) {
    return printable(std::filesystem::path(loaded.plan.file).filename().string());
  };
  heard[0].name = file_name(plan);
  heard[0].evidence = differences(plan.bound, other.bound, span);
  heard[0].is_own = true;
  heard[1].name = file_name(other);
  heard[1].evidence = differences(other.bound, plan.bound, span);
  heard[1].is_other = true;
  return heard;
}

std::string line_of(const HeardReading& heard, bool is_score_alone) {
  const char* mark = is_score_alone ? " (drafted)" : " (yours)";
  return fmt::format("{}{}: {}", heard.name, heard.is_own ? mark : "", heard.evidence);
}

Excerpt perform_reading(const Audition& audition, const HeardReading& heard) {
  const Prepared& prepared = heard.is_other ? *audition.other : audition.plan;
  const Loaded& loaded = prepared.loaded;
  if (!audition.block || heard.is_own) {
    return perform_passage(loaded, prepared.passage, audition.layers, prepared.instrument);
  }
  const Plan plan = with_reading(loaded.plan, *audition.block, heard.reading);
  const Result<BoundPlan> bound = bind_plan(plan, loaded.score, loaded.printed);
  assert(bound);  // as the plan itself did
  return perform_passage(loaded.score, *bound, prepared.passage, audition.layers,
                         prepared.instrument);
}

PlayedReading played_reading(const Audition& audition, const HeardReading& heard, Decibels gain) {
  Excerpt excerpt = perform_reading(audition, heard);
  PlayedReading played;
  played.moved = excerpt.moved;
  played.settings = {.entry = excerpt.entry,
                     .end = audition.plan.passage.excerpt.span.end + excerpt.moved,
                     .breath = {1.0}};
  played.rendition = rendition_of(std::move(excerpt.score), std::move(excerpt.performance), gain);
  return played;
}

}  // namespace arsis
