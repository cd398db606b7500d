// Rhythm: which member holds the longest note.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "draft/comparison.h"
#include "draft/evidence.h"

namespace arsis {
namespace {

// Of durational accent: about two felt beats against a half.
constexpr double kFullLengthLead = 0.5;
constexpr double kOfTheEnd = 0.5;  // of the lead of a block's last note

const LineNote* longest(std::span<const LineNote> line) {
  const auto found = std::ranges::max_element(line, {}, &LineNote::durational_accent);
  return found == line.end() ? nullptr : &*found;
}

// "longest note (A4 at 3:1, 2 beats)", beats of the time signature.
std::string words_for(const Surface& surface, const LineNote& note) {
  const Bar& bar = surface.material.score.bars.at(note.onset);
  const std::string beats = short_number(note.length / bar.signature.beat_length(), 2);
  return fmt::format("longest note ({}, {} {})", surface.named(note), beats,
                     beats == "1" ? "beat" : "beats");
}

}  // namespace

Findings rhythm_evidence(const Surface& surface, const Members& members) {
  const std::size_t count = members.spans.size();
  Findings findings(count);
  if (count < 2) return findings;
  const std::span<const LineNote> block =
      surface.line_within({members.spans.front().begin, members.spans.back().end});
  if (block.empty()) return findings;
  const LineNote& end = block.back();
  const LineNote* rival = longest(block.first(block.size() - 1));
  const double rivalled = rival == nullptr ? 0.0 : rival->durational_accent;
  std::vector<const LineNote*> notes;
  std::vector<std::optional<double>> accents(count);
  for (std::size_t i = 0; i < count; ++i) {
    const LineNote* note = longest(surface.line_within(members.spans[i]));
    notes.push_back(note);
    if (note == nullptr) continue;
    const double lead = std::max(0.0, note->durational_accent - rivalled);
    accents[i] = note->durational_accent - (note == &end ? lead * (1.0 - kOfTheEnd) : 0.0);
  }
  const std::vector<double> scores = compared(accents, kFullLengthLead);
  for (std::size_t i = 0; i < count; ++i) {
    findings[i].score = scores[i];
    if (notes[i] != nullptr && scores[i] > kWorthWords) {
      findings[i].words = words_for(surface, *notes[i]);
    }
  }
  return findings;
}

}  // namespace arsis
