#include "live/bench.h"

#include <algorithm>
#include <stdexcept>

#include "base/files.h"
#include "smf/midi_file.h"
#include "tool/load.h"
#include "tool/play_session.h"

namespace arsis::test {
namespace {

constexpr int kDivision = 480;
constexpr int kBar = 4 * kDivision;

struct Event {
  int tick;
  std::vector<std::uint8_t> bytes;
};

void add_notes(std::vector<Event>& events, int channel, int length, int lowest_key) {
  for (int tick = 0, i = 0; tick < 8 * kBar; tick += length, ++i) {
    const auto key = static_cast<std::uint8_t>(lowest_key + i * 5 % 13);
    const auto on = static_cast<std::uint8_t>(0x90 | channel);
    const auto off = static_cast<std::uint8_t>(0x80 | channel);
    events.push_back({tick, {on, key, 90}});
    events.push_back({tick + length, {off, key, 0}});
  }
}

void add_track(MidiFile& file, std::vector<Event> events) {
  std::ranges::stable_sort(events, [](const Event& a, const Event& b) {
    const auto rank = [](const Event& event) {
      const int kind = event.bytes[0] & 0xF0;
      return kind == 0x80 ? 0 : kind == 0x90 ? 2 : 1;
    };
    return std::pair(a.tick, rank(a)) < std::pair(b.tick, rank(b));
  });
  file.tracks.emplace_back();
  for (const Event& event : events) file.append(file.tracks.size() - 1, event.tick, event.bytes);
  file.tracks.back().end_tick = 8 * kBar;
}

MidiFile piece() {
  MidiFile file;
  file.division = kDivision;
  std::vector<Event> right = {{0, {0xFF, 0x51, 0x03, 0xD0, 0x90}},  // 250,000 us a quarter
                              {0, {0xC0, 4}},
                              {0, {0xB0, 7, 101}},
                              {0, {0xB0, 11, 90}},
                              {2 * kBar, {0xC0, 6}},
                              {2 * kBar, {0xB0, 11, 64}},
                              {2 * kBar, {0xB0, 64, 127}},
                              {5 * kBar, {0xB0, 64, 0}}};
  add_notes(right, 0, kDivision / 2, 60);
  std::vector<Event> left = {{0, {0xC1, 5}}, {0, {0xB1, 7, 80}}};
  add_notes(left, 1, kDivision, 40);
  add_track(file, std::move(right));
  add_track(file, std::move(left));
  return file;
}

constexpr const char* kPlan =
    "arsis: 1\nscore: piece.mid\n"
    "parts:\n"
    "  - {name: right hand, track: 1, role: melody}\n"
    "  - {name: left hand, track: 2, role: accompaniment}\n"
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences:\n"
    "  - {phrases: [u /, / u], main: 2}\n"
    "  - {phrases: [u /, / u], main: 1}\n"
    "main: 1\n";

}  // namespace

std::string program() { return ARSIS_PROGRAM; }

Bench::Bench() {
  const Result<Bytes> bytes = write_midi(piece(), "piece.mid");
  if (!bytes || !write_file(path() / "piece.mid", *bytes)) throw std::runtime_error("no score");
  write("plan.yaml", kPlan);
}

std::shared_ptr<const Rendition> Bench::rendition(const PassageOptions& options,
                                                  const LayerOptions& layer_options) const {
  Result<Loaded> loaded = load(path() / "plan.yaml");
  const Result<Layers> layers = layers_of(layer_options);
  if (!loaded || !layers) throw std::runtime_error("the plan cannot be read");
  const Result<Passage> passage = passage_of(options, *loaded);
  if (!passage) throw std::runtime_error("there is no such passage");
  loaded->score = with_speed(std::move(loaded->score), passage->speed);
  const Instrument law;
  return PlaySession(*loaded, *passage, *layers, law).rendition();
}

Command Bench::run(const std::string& verb, const JackServer& server,
                   std::vector<std::string> words, int columns) const {
  words.insert(words.begin(), {program(), verb, "plan.yaml"});
  return {.words = std::move(words),
          .environment = server.environment(),
          .folder = path(),
          .columns = columns};
}

Command Bench::play(const JackServer& server, std::vector<std::string> words, int columns) const {
  return run("play", server, std::move(words), columns);
}

std::vector<TimedMessage> ons_of(const Rendition& rendition) {
  std::vector<TimedMessage> ons;
  std::ranges::copy_if(rendition.messages, std::back_inserter(ons), &TimedMessage::is_on);
  return ons;
}

}  // namespace arsis::test
