#include "take/played.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace arsis {
namespace {

bool is_pedal(std::uint8_t controller) {
  return controller == 64 || controller == 66 || controller == 67;
}

std::vector<PedalChange> pedals_of(const Score& file) {
  constexpr std::uint8_t kController = 0xB0;
  std::vector<PedalChange> pedals;
  for (const Message& message : file.messages) {
    const auto bytes = file.bytes_of(message);
    if (bytes.size() != 3 || (bytes[0] & 0xF0) != kController || !is_pedal(bytes[1])) continue;
    pedals.push_back({file.tempo.seconds_at(message.at), bytes[1], bytes[2]});
  }
  return pedals;
}

}  // namespace

Result<Take> take_of(const Score& file) {
  if (file.notes.size() > Take::kMostNotes) {
    return fail({.file = file.file}, fmt::format("holds {} notes", file.notes.size()),
                fmt::format("at most {} notes of a take are read", Take::kMostNotes));
  }
  Take take;
  take.file = file.file;
  for (const Note& note : file.notes) {
    take.notes.push_back({file.tempo.seconds_at(note.onset), file.tempo.seconds_at(note.end),
                          note.key, note.velocity});
  }
  std::ranges::stable_sort(take.notes, [](const PlayedNote& a, const PlayedNote& b) {
    return std::tuple(a.onset, a.key) < std::tuple(b.onset, b.key);
  });
  take.pedals = pedals_of(file);
  return take;
}

}  // namespace arsis
