#include "sound/midi_port.h"

#include <RtMidi.h>
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <optional>
#include <thread>

#include "base/text.h"
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

// How often to see whether a JACK server is still alive, which only a new client learns: for the
// old one a dead server's ports are there as ever.
constexpr std::chrono::seconds kProbe{2};

// RtMidi's client of a dead server takes 16 KB of messages, each with its length in four bytes, and
// then waits for ever. So no more than this is sent before connected() has found the server alive.
constexpr std::size_t kMostUnvouched = 12'000;
constexpr std::chrono::seconds kVouchingTakes{1};

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
  // Otherwise libjack tries to start a server.
  ::setenv("JACK_NO_START_SERVER", "1", 0);
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

}  // namespace

struct MidiPort::Handle {
  std::string complaint;  // of the client; outlives it
  std::unique_ptr<RtMidiOut> client;
  std::string name;
  RtMidi::Api api = RtMidi::UNSPECIFIED;
  std::atomic<bool> failed = false;
  std::chrono::steady_clock::time_point probed = std::chrono::steady_clock::now();
  std::atomic<std::size_t> unvouched = 0;  // bytes since connected() last found JACK alive
  int burst = 0;
  std::chrono::steady_clock::time_point burst_began;

  // libjack crashes where a client of a server that has died is closed: such a one is left open for
  // as long as the program runs.
  ~Handle() {
    if (failed) {
      static_cast<void>(client.release());
    } else if (api == RtMidi::UNIX_JACK && client && client->isPortOpen()) {
      std::this_thread::sleep_for(kPassingOnTakes);
    }
  }
};

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

Result<MidiPort> MidiPort::open(const std::string& name) {
  struct Candidate {
    RtMidi::Api api;
    unsigned number;
    std::string name;
  };
  std::vector<Candidate> candidates;
  std::size_t seen = 0;
  for (const RtMidi::Api api : compiled()) {
    std::string complaint;
    const auto client = client_of(api, complaint);
    if (!client) continue;
    const std::vector<std::string> ports = ports_of(*client);
    seen += ports.size();
    for (unsigned i = 0; i < ports.size(); ++i) {
      if (holds_words(ports[i], name)) candidates.push_back({api, i, ports[i]});
    }
  }
  const auto exact = std::ranges::find(candidates, name, &Candidate::name);
  if (exact != candidates.end()) candidates = {*exact};
  if (candidates.empty()) {
    return fail({}, fmt::format("there is no MIDI port '{}'", printable(name)),
                seen == 0 ? "no port at all was found; 'arsis ports' says why"
                          : "'arsis ports' lists those there are");
  }
  if (candidates.size() > 1) {
    return fail({},
                fmt::format("'{}' can be {} MIDI ports, '{}' and '{}' among them", printable(name),
                            candidates.size(), printable(candidates[0].name),
                            printable(candidates[1].name)),
                "write more of the name");
  }
  auto handle = std::make_unique<Handle>();
  handle->name = candidates[0].name;
  handle->api = candidates[0].api;
  handle->client = client_of(candidates[0].api, handle->complaint);
  const QuietStderr quiet;
  try {
    // It may have gone meanwhile, and opening a number that is not there reports success.
    if (handle->client && ports_of(*handle->client).size() > candidates[0].number &&
        handle->client->getPortName(candidates[0].number) == handle->name) {
      handle->client->openPort(candidates[0].number, "out");
    }
  } catch (const RtMidiError&) {
  }
  if (!handle->client || !handle->client->isPortOpen() || !handle->complaint.empty()) {
    return fail({}, fmt::format("the MIDI port '{}' cannot be opened", printable(handle->name)),
                "another program may hold it");
  }
  if (handle->api == RtMidi::UNIX_JACK) std::this_thread::sleep_for(kPassingOnTakes);
  return MidiPort(std::move(handle));
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
  if (handle_->api == RtMidi::UNIX_JACK) {
    const auto limit = now + kVouchingTakes;
    while (handle_->unvouched > kMostUnvouched && !handle_->failed) {
      if (std::chrono::steady_clock::now() > limit) handle_->failed = true;
      std::this_thread::sleep_for(kAfterBurst);
    }
    if (handle_->failed) return;
    handle_->unvouched += message.size() + 4;
  }
  try {
    handle_->client->sendMessage(message.data(), message.size());
  } catch (const RtMidiError&) {
    handle_->failed = true;
  }
}

bool MidiPort::connected() const {
  if (handle_->failed) return false;
  const auto now = std::chrono::steady_clock::now();
  const bool overdue = now - handle_->probed > kProbe || handle_->unvouched > kMostUnvouched / 2;
  if (handle_->api == RtMidi::UNIX_JACK && overdue) {
    handle_->probed = now;
    std::string complaint;
    if (!client_of(handle_->api, complaint)) {
      handle_->failed = true;
      return false;
    }
    handle_->unvouched = 0;
  }
  try {
    const std::vector<std::string> ports = ports_of(*handle_->client);
    return std::ranges::find(ports, handle_->name) != ports.end();
  } catch (const RtMidiError&) {
    return false;
  }
}

}  // namespace arsis
