#include "shape/instrument.h"

#include <algorithm>
#include <cassert>
#include <utility>

#include "score/latest_onset.h"

namespace arsis {
namespace {

constexpr std::uint8_t kProgramChange = 0xC0;

// The program of every channel, moment by moment.
class Programs {
 public:
  explicit Programs(const Score& score) : score_(score), latest_(score.tracks.size()) {}

  void meet(const Note& note) { latest_[score_.parts[note.part].track].meet(note); }

  // Takes every change up to `at`, its own moment included, whose notes have all been met.
  void go_to(Beats at) {
    for (const auto& [channel, program] : late_) now_[channel] = program;
    late_.clear();
    for (; next_ < score_.messages.size() && score_.messages[next_].at <= at; ++next_) {
      take(score_.messages[next_], at);
    }
  }

  std::uint8_t of(const Note& note) const { return now_[score_.parts[note.part].channel]; }

 private:
  void take(const Message& message, Beats at) {
    const std::span<const std::uint8_t> bytes = score_.bytes_of(message);
    if (bytes.size() != 2 || (bytes[0] & 0xF0) != kProgramChange) return;
    const std::size_t channel = bytes[0] & 0x0F;
    const auto program = static_cast<std::uint8_t>(bytes[1] & 0x7F);
    const LatestOnset& latest = latest_[message.track];
    const bool late = message.at == at && latest.at == at && latest.sequence < message.sequence;
    if (late) {
      late_.emplace_back(channel, program);
    } else {
      now_[channel] = program;
    }
  }

  const Score& score_;
  std::vector<LatestOnset> latest_;  // by track
  std::array<std::uint8_t, 16> now_{};
  std::vector<std::pair<std::size_t, std::uint8_t>> late_;  // from after this moment on
  std::size_t next_ = 0;                                    // among the messages
};

}  // namespace

bool Instrument::follows_law() const {
  const auto is_law = [](const SharedLevels& levels) { return levels == nullptr; };
  return std::ranges::all_of(by_program, is_law) && std::ranges::all_of(by_part, is_law);
}

std::vector<std::uint8_t> programs_of(const Score& score) {
  std::vector<std::uint8_t> programs;
  programs.reserve(score.notes.size());
  Programs channels(score);
  const std::vector<Note>& notes = score.notes;
  for (std::size_t begin = 0; begin < notes.size();) {
    const Beats at = notes[begin].onset;
    std::size_t end = begin;
    for (; end < notes.size() && notes[end].onset == at; ++end) channels.meet(notes[end]);
    channels.go_to(at);
    for (; begin < end; ++begin) programs.push_back(channels.of(notes[begin]));
  }
  return programs;
}

std::vector<const LevelTable*> tables_of(const Score& score, const Instrument& instrument) {
  assert(instrument.by_part.empty() || instrument.by_part.size() == score.parts.size());
  std::vector<const LevelTable*> tables(score.notes.size(), nullptr);
  if (instrument.follows_law()) return tables;
  const std::vector<std::uint8_t> programs = programs_of(score);
  for (std::size_t i = 0; i < tables.size(); ++i) {
    const Note& note = score.notes[i];
    if (!instrument.by_part.empty()) tables[i] = instrument.by_part[note.part].get();
    if (tables[i] == nullptr && is_pitched(score.parts[note.part])) {
      tables[i] = instrument.by_program[programs[i]].get();
    }
    if (tables[i] != nullptr && tables[i]->empty()) tables[i] = nullptr;
  }
  return tables;
}

void apply_instrument(std::vector<PerformedNote>& notes, std::span<const NoteLevel> levels,
                      const Score& score, const Instrument& instrument) {
  assert(notes.size() == score.notes.size() && levels.size() == notes.size());
  const std::vector<const LevelTable*> tables = tables_of(score, instrument);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (tables[i] == nullptr) continue;
    notes[i].velocity = tables[i]->velocity_for(levels[i].level, score.notes[i].key);
  }
}

}  // namespace arsis
