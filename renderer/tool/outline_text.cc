// The indented tree that `check` prints.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "shape/summary.h"
#include "tool/in_force.h"
#include "tool/outline.h"

namespace arsis {
namespace {

std::string clock_text(Seconds time) {
  const int seconds = static_cast<int>(time.value + 0.5);
  return fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

// The signatures of the whole bars, each once, in the order they come.
std::string signature_text(const Score& score) {
  std::vector<TimeSignature> seen;
  std::string text;
  for (const Bar& bar : score.bars.all()) {
    if (std::ranges::find(seen, bar.signature) != seen.end()) continue;
    seen.push_back(bar.signature);
    text += fmt::format("{}{}/{}", text.empty() ? "" : ", ", bar.signature.beats,
                        bar.signature.beat_unit);
  }
  return text;
}

std::string parts_text(const Loaded& loaded) {
  std::string text;
  for (const BoundPart& part : loaded.bound.parts) {
    text += fmt::format("{}{} ({}", text.empty() ? "" : ", ",
                        part.name.empty() ? "unnamed" : printable(part.name),
                        kRoleNames[static_cast<std::size_t>(part.role)]);
    if (part.balance.value < 0.0) text += fmt::format(", {} dB", short_number(part.balance.value));
    text += ")";
  }
  return text;
}

class Tree {
 public:
  Tree(const Loaded& loaded, const Shaped& shaped) : loaded_(loaded), shaped_(shaped) {}

  std::string text() {
    if (loaded_.bound.sentences.empty()) return "no blocks: nothing is shaped\n";
    line("", "from", "to", "goal", "ceiling", "level");
    for (std::size_t i = 0; i < loaded_.bound.sentences.size(); ++i) add(Level::kSentence, i);
    return std::move(text_);
  }

 private:
  void line(std::string_view name, std::string_view from, std::string_view to,
            std::string_view goal, std::string_view ceiling, std::string_view level) {
    text_ += fmt::format("{:<22}{:<9}{:<9}{:<9}{:>9}{:>9}\n", name, from, to, goal, ceiling, level);
  }

  std::string position(Beats at) const { return to_string(loaded_.score.bars.position_of(at)); }

  void add(Level level, std::size_t index) {
    const Block& block = loaded_.bound.level(level)[index];
    // '/' leads, 'u' does not, as in the plan's feet; a sentence leads only where the plan says so.
    const bool marked = level != Level::kSentence || !loaded_.bound.piece.empty();
    const std::string name =
        fmt::format("{:{}}{} {} {}", "", 2 * (2 - static_cast<int>(index_of(level))),
                    !marked         ? " "
                    : block.is_main ? "/"
                                    : "u",
                    name_of(level), block_name(loaded_.bound, level, index));
    const auto goal = goal_level(loaded_.score, loaded_.bound, shaped_, block);
    line(name, position(block.span.begin), position(block.span.end), position(block.goal),
         goal ? fmt::format("{:.1f} dB", goal->ceiling.value) : "-",
         goal ? fmt::format("{:.1f} dB", goal->level.value) : "-");
    if (level == Level::kMotif) return;
    const Level within = level == Level::kSentence ? Level::kPhrase : Level::kMotif;
    for (std::uint32_t i = 0; i < block.count; ++i) add(within, block.first + i);
  }

  const Loaded& loaded_;
  const Shaped& shaped_;
  std::string text_;
};

}  // namespace

std::string outline_text(const Loaded& loaded, const Shaped& shaped, bool all) {
  const Score& score = loaded.score;
  const std::string& title = loaded.plan.title.empty() ? score.title : loaded.plan.title;
  const TimeMap& time = shaped.performance.time;
  const auto bars = score.bars.all();
  const std::string repeats = repeats_text(score.bars);
  return fmt::format("{}\n{}: bars {} to {}, {}, {} notes, {}\nparts: {}\n{}{}\n",
                     title.empty() ? "untitled" : printable(title), printable(score.file, 200),
                     bars.front().number, bars.back().number, signature_text(score),
                     score.notes.size(), clock_text(time.seconds_at(score.end())),
                     parts_text(loaded), repeats, repeats.empty() ? "" : "\n") +
         Tree(loaded, shaped).text() + in_force_text(loaded, all);
}

}  // namespace arsis
