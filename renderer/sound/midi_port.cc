#include "sound/midi_port.h"

#include <RtMidi.h>
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <thread>

#include "base/text.h"
#include "sound/jack_watch.h"
#include "sound/quiet_stderr.h"

namespace arsis {
namespace {

constexpr const char* kClient = "arsis";

// RtMidi's JACK and ALSA lose messages when more than about a thousand come at once (measured).
constexpr int kBurst = 200;
constexpr std::chrono::milliseconds kAfterBurst{4};

// JACK passes on what was sent only from one period to the next: what comes before it has made a
// connection its own is lost, and so is what comes just before the port is closed (measured: a
// third of all final silences). Two periods of 2,048 frames at 44.1 kHz.
constexpr std::chrono::milliseconds kPassingOnTakes{100};

// A JACK server whose cycles stand still for so long is dead or frozen.
constexpr std::chrono::seconds kMayStandStill{2};

// RtMidi's client of a dead server takes 16 KB of messages, each with its length in four bytes, and
// then waits for ever. So no more than this is sent before the server has gone on.
constexpr std::size_t kMostAhead = 12'000;
constexpr std::chrono::seconds kGoingOnTakes{1};

void keep_first(RtMidiError::Type, const std::string& text, void* kept) {
  auto& first = *static_cast<std::string*>(kept);
  if (first.empty()) first = text;
}

std::string_view display_name(RtMidi::Api api) {
  switch (api) {
    case RtMidi::LINUX_ALSA:
      return "ALSA";
    case RtMidi::UNIX_JACK:
      return "JACK";
    case RtMidi::MACOSX_CORE:
      return "CoreMIDI";
    case RtMidi::UNSPECIFIED:
    case RtMidi::WINDOWS_MM:
    case RtMidi::RTMIDI_DUMMY:
    case RtMidi::WEB_MIDI_API:
    case RtMidi::NUM_APIS:
      break;
  }
  return "other";
}

std::string why_not(RtMidi::Api api) {
  if (api == RtMidi::UNIX_JACK) return "no JACK server is running";
  if (api == RtMidi::LINUX_ALSA) return "the system has no ALSA sequencer (/dev/snd/seq)";
  return "it could not be opened";
}

// An open client of a back end, or none where there is no such service. `complaint` outlives it.
std::unique_ptr<RtMidiOut> client_of(RtMidi::Api api, std::string& complaint) {
  start_no_jack_server();
  const QuietStderr quiet;
  try {
    auto client = std::make_unique<RtMidiOut>(api, kClient);
    client->setErrorCallback(keep_first, &complaint);
    // JACK's is only made when it is asked something, and then complains without throwing.
    client->getPortCount();
    if (complaint.empty()) return client;
  } catch (const RtMidiError&) {
  }
  return nullptr;
}

std::vector<RtMidi::Api> compiled() {
  std::vector<RtMidi::Api> apis;
  RtMidi::getCompiledApi(apis);
  std::erase(apis, RtMidi::RTMIDI_DUMMY);
  return apis;
}

std::vector<std::string> ports_of(RtMidiOut& client) {
  std::vector<std::string> ports;
  for (unsigned i = 0; i < client.getPortCount(); ++i) ports.push_back(client.getPortName(i));
  return ports;
}

bool holds_words(std::string_view port, std::string_view words) {
  return lower_case(port).find(lower_case(words)) != std::string::npos;
}

// A port that may be meant.
struct Candidate {
  RtMidi::Api api;
  unsigned number;
  std::string name;
};

Result<Candidate> chosen_port(const std::string& name) {
  std::vector<Candidate> candidates;
  bool any = false;
  for (const RtMidi::Api api : compiled()) {
    std::string complaint;
    const auto client = client_of(api, complaint);
    if (!client) continue;
    const std::vector<std::string> ports = ports_of(*client);
    any |= !ports.empty();
    for (unsigned i = 0; i < ports.size(); ++i) {
      if (holds_words(ports[i], name)) candidates.push_back({api, i, ports[i]});
    }
  }
  const auto exact = std::ranges::find(candidates, name, &Candidate::name);
  if (exact != candidates.end()) return *exact;
  if (candidates.empty()) {
    return fail({}, fmt::format("there is no MIDI port '{}'", printable(name)),
                any ? "'arsis ports' lists those there are"
                    : "no port at all was found; 'arsis ports' says why");
  }
  if (candidates.size() > 1) {
    return fail({},
                fmt::format("'{}' can be {} MIDI ports, '{}' and '{}' among them", printable(name),
                            candidates.size(), printable(candidates[0].name),
                            printable(candidates[1].name)),
                "write more of the name");
  }
  return candidates.front();
}

}  // namespace

struct MidiPort::Handle {
  std::string complaint;  // of the client; outlives it
  std::unique_ptr<RtMidiOut> client;
  std::string name;
  std::atomic<bool> failed = false;
  std::unique_ptr<JackWatch> watch;  // where it is a port of JACK
  // Of connected(): the cycles it saw last, and when they were new.
  std::uint64_t cycles_seen = 0;
  std::chrono::steady_clock::time_point cycles_moved = std::chrono::steady_clock::now();
  // Of send(): bytes that were sent since the cycles it knows.
  std::size_t ahead = 0;
  std::uint64_t cycles_known = 0;
  int burst = 0;
  std::chrono::steady_clock::time_point burst_began;

  static Result<std::unique_ptr<Handle>> of(const Candidate& chosen);
  static bool may_send(Handle& handle, std::size_t bytes);
  static bool is_alive(Handle& handle);

  // libjack crashes where a client of a server that has died is closed: such a one is left open for
  // as long as the program runs.
  ~Handle() {
    if (failed) {
      static_cast<void>(client.release());
      static_cast<void>(watch.release());
    } else if (watch && client && client->isPortOpen()) {
      std::this_thread::sleep_for(kPassingOnTakes);
      // RtMidi frees its buffer while JACK's thread may still be at it, which ends once the port is
      // closed (measured: a crash in one of twenty on a busy machine).
      client->closePort();
      std::this_thread::sleep_for(kPassingOnTakes);
    }
  }
};

// Whether JACK takes so many bytes more; waits for it a little. [sending thread]
bool MidiPort::Handle::may_send(Handle& handle, std::size_t bytes) {
  const auto limit = std::chrono::steady_clock::now() + kGoingOnTakes;
  while (true) {
    const std::uint64_t cycles = handle.watch->cycles();
    if (cycles != handle.cycles_known) {
      handle.cycles_known = cycles;
      handle.ahead = 0;
    }
    if (handle.ahead <= kMostAhead) break;
    if (handle.failed || std::chrono::steady_clock::now() > limit) {
      handle.failed = true;
      return false;
    }
    std::this_thread::sleep_for(kAfterBurst);
  }
  handle.ahead += bytes + 4;
  return true;
}

// [the thread that asks for connected()]
bool MidiPort::Handle::is_alive(Handle& handle) {
  const auto now = std::chrono::steady_clock::now();
  const std::uint64_t cycles = handle.watch->cycles();
  if (cycles != handle.cycles_seen) {
    handle.cycles_seen = cycles;
    handle.cycles_moved = now;
  }
  return !handle.watch->is_shut_down() && now - handle.cycles_moved <= kMayStandStill;
}

std::vector<MidiBackEnd> midi_back_ends() {
  std::vector<MidiBackEnd> all;
  for (const RtMidi::Api api : compiled()) {
    MidiBackEnd& found = all.emplace_back();
    found.name = display_name(api);
    std::string complaint;
    if (const auto client = client_of(api, complaint)) {
      found.ports = ports_of(*client);
    } else {
      found.why_not = why_not(api);
    }
  }
  return all;
}

MidiPort::MidiPort(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
MidiPort::MidiPort(MidiPort&&) noexcept = default;
MidiPort& MidiPort::operator=(MidiPort&&) noexcept = default;
MidiPort::~MidiPort() = default;

Result<std::unique_ptr<MidiPort::Handle>> MidiPort::Handle::of(const Candidate& chosen) {
  auto handle = std::make_unique<Handle>();
  handle->name = chosen.name;
  const QuietStderr quiet;
  const bool is_jack = chosen.api == RtMidi::UNIX_JACK;
  if (is_jack) handle->watch = JackWatch::open();
  if (!is_jack || handle->watch) handle->client = client_of(chosen.api, handle->complaint);
  try {
    // It may have gone meanwhile, and opening a number that is not there reports success.
    if (handle->client && ports_of(*handle->client).size() > chosen.number &&
        handle->client->getPortName(chosen.number) == handle->name) {
      handle->client->openPort(chosen.number, "out");
    }
  } catch (const RtMidiError&) {
  }
  if (!handle->client || !handle->client->isPortOpen() || !handle->complaint.empty()) {
    return fail({}, fmt::format("the MIDI port '{}' cannot be opened", printable(handle->name)),
                "another program may hold it");
  }
  if (is_jack) std::this_thread::sleep_for(kPassingOnTakes);
  return handle;
}

Result<MidiPort> MidiPort::open(const std::string& name) {
  const Result<Candidate> chosen = chosen_port(name);
  if (!chosen) return chosen.diagnostics();
  Result<std::unique_ptr<Handle>> handle = Handle::of(*chosen);
  if (!handle) return handle.diagnostics();
  return MidiPort(*std::move(handle));
}

const std::string& MidiPort::name() const { return handle_->name; }

void MidiPort::send(std::span<const std::uint8_t> message) {
  if (handle_->failed) return;
  const auto now = std::chrono::steady_clock::now();
  if (now - handle_->burst_began > kAfterBurst) {
    handle_->burst_began = now;
    handle_->burst = 0;
  }
  if (++handle_->burst > kBurst) {
    std::this_thread::sleep_for(kAfterBurst);
    handle_->burst = 0;
  }
  if (handle_->watch && !Handle::may_send(*handle_, message.size())) return;
  try {
    handle_->client->sendMessage(message.data(), message.size());
  } catch (const RtMidiError&) {
    handle_->failed = true;
  }
}

bool MidiPort::connected() const {
  if (handle_->failed) return false;
  if (handle_->watch && !Handle::is_alive(*handle_)) {
    handle_->failed = true;
    return false;
  }
  try {
    const std::vector<std::string> ports = ports_of(*handle_->client);
    return std::ranges::find(ports, handle_->name) != ports.end();
  } catch (const RtMidiError&) {
    return false;
  }
}

}  // namespace arsis
