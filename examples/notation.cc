#include "notation.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <sstream>
#include <string>
#include <tuple>
#include <vector>

#include "base/text.h"

namespace arsis::demo {
namespace {

struct Event {
  std::int64_t tick;
  bool on;
  std::uint8_t key;
};

[[noreturn]] void stop(std::string_view token) {
  std::fprintf(stderr, "no music: '%.*s'\n", static_cast<int>(token.size()), token.data());
  std::exit(1);
}

std::uint8_t key_of(std::string_view name) {
  constexpr std::string_view kLetters = "cdefgab";
  constexpr std::array<int, 7> kSemitones = {0, 2, 4, 5, 7, 9, 11};
  const std::size_t letter = name.empty() ? std::string_view::npos : kLetters.find(name[0]);
  if (letter == std::string_view::npos) stop(name);
  int semitone = kSemitones[letter];
  std::size_t at = 1;
  for (; at < name.size() && (name[at] == '#' || name[at] == 'b'); ++at) {
    semitone += name[at] == '#' ? 1 : -1;
  }
  const auto octave = parse_integer(name.substr(at));
  if (!octave) stop(name);
  return static_cast<std::uint8_t>((*octave + 1) * 12 + semitone);
}

std::int64_t ticks_of(std::string_view length) {
  const auto quarters = parse_number(length);
  if (!quarters) stop(length);
  return static_cast<std::int64_t>(*quarters * kDivision + 0.5);
}

// The words of the text; a chord in brackets is one word.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::istringstream stream{std::string(text)};
  for (std::string word; stream >> word;) {
    while (word.starts_with('[') && word.find(']') == std::string::npos) {
      std::string more;
      if (!(stream >> more)) stop(word);
      word += ' ' + more;
    }
    words.push_back(word);
  }
  return words;
}

std::vector<std::uint8_t> keys_of(std::string_view name) {
  std::vector<std::uint8_t> keys;
  if (name == "r") return keys;
  if (name.starts_with('[')) name = name.substr(1, name.size() - 2);
  std::istringstream stream{std::string(name)};
  for (std::string one; stream >> one;) keys.push_back(key_of(one));
  return keys;
}

}  // namespace

std::int64_t append_music(MidiFile& file, std::size_t track, std::uint8_t channel,
                          std::int64_t tick, std::string_view text) {
  std::vector<Event> events;
  std::int64_t usual = kDivision;
  for (const std::string& word : words_of(text)) {
    if (word == "|") continue;
    if (word.starts_with('/')) {
      usual = ticks_of("1" + word);
      continue;
    }
    const std::size_t colon = word.find(':');
    const std::int64_t length =
        colon == std::string::npos ? usual : ticks_of(std::string_view(word).substr(colon + 1));
    for (const std::uint8_t key : keys_of(std::string_view(word).substr(0, colon))) {
      events.push_back({tick, true, key});
      events.push_back({tick + length, false, key});
    }
    tick += length;
  }
  std::ranges::sort(events, [](const Event& a, const Event& b) {
    return std::tuple(a.tick, a.on, a.key) < std::tuple(b.tick, b.on, b.key);
  });
  for (const Event& event : events) {
    const auto status = static_cast<std::uint8_t>((event.on ? 0x90 : 0x80) | channel);
    const std::array<std::uint8_t, 3> bytes = {
        status, event.key, static_cast<std::uint8_t>(event.on ? kVelocity : 64)};
    file.append(track, event.tick, bytes);
  }
  return tick;
}

}  // namespace arsis::demo
