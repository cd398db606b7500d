#include "tool/listening_data.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tool/script_data.h"

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

// A sentence, then its phrases, each with its motifs.
class BlockList {
 public:
  BlockList(const ListeningMusic& music, Span drawn) : music_(music), drawn_(drawn) {}

  Json take() {
    for (std::size_t i = 0; i < music_.plan.sentences.size(); ++i) add(Level::kSentence, i);
    return std::move(list_);
  }

 private:
  void add(Level level, std::size_t index) {
    const Block& block = music_.plan.level(level)[index];
    if (block.span.end <= drawn_.begin || block.span.begin >= drawn_.end) return;
    const Beats within = block.span.end - kSameMoment;
    list_.push_back({{"name", block_name(music_.plan, level, index)},
                     {"level", name_of(level)},
                     {"label", spoken_name(music_.score, music_.plan, level, index)},
                     {"begin", script_number(std::max(block.span.begin, drawn_.begin))},
                     {"end", script_number(std::min(block.span.end, drawn_.end))},
                     {"breath", counted_beat(music_.score.bars.at(within).signature).value}});
    if (level == Level::kMotif) return;
    const Level below = level == Level::kSentence ? Level::kPhrase : Level::kMotif;
    for (std::uint32_t i = 0; i < block.count; ++i) add(below, block.first + i);
  }

  const ListeningMusic& music_;
  Span drawn_;
  Json list_ = Json::array();
};

// A motif's goal lies in it; of the others a member leads.
std::string leading_words(const BoundPlan& plan, Level level, const Block& block) {
  if (level == Level::kMotif) return block.is_main ? ", leads its phrase" : "";
  const Level below = level == Level::kSentence ? Level::kPhrase : Level::kMotif;
  if (block.count < 2) return "";
  return fmt::format(", {} {} leads", name_of(below), block_name(plan, below, block.main));
}

}  // namespace

std::string spoken_name(const Score& score, const BoundPlan& plan, Level level, std::size_t index) {
  const Block& block = plan.level(level)[index];
  return fmt::format("{} {}, {}{}", name_of(level), block_name(plan, level, index),
                     bars_text(score.bars, block.span), leading_words(plan, level, block));
}

std::string listening_data(const ListeningMusic& music) {
  const Span drawn{music.wide.front().span.begin, music.wide.back().span.end};
  Json voices = Json::array();
  for (const VoiceTime& voice : music.voices) {
    voices.push_back({{"label", voice.label},
                      {"map", knots_json(voice.time, voice.moved)},
                      {"length", script_number(voice.length)}});
  }
  const Json json = {
      {"sampleRate", music.sample_rate},
      {"begin", script_number(drawn.begin)},
      {"voices", std::move(voices)},
      {"blocks", BlockList(music, drawn).take()},
      {"systems", {{"wide", systems_json(music.wide)}, {"narrow", systems_json(music.narrow)}}}};
  return script_text(json);
}

}  // namespace arsis
