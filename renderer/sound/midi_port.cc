#include "sound/midi_port.h"

#include <RtMidi.h>
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <thread>

#include "base/text.h"
#include "sound/midi_client.h"
#include "sound/quiet_stderr.h"

namespace arsis {
namespace {

// RtMidi's JACK and ALSA lose messages when more than about a thousand come at once (measured).
constexpr int kBurst = 200;
constexpr std::chrono::milliseconds kAfterBurst{4};

// JACK passes on what was sent only from one period to the next: what comes before it has made a
// connection its own is lost, and so is what comes just before the port is closed (measured: a
// third of all final silences). Two periods of 2,048 frames at 44.1 kHz.
constexpr std::chrono::milliseconds kPassingOnTakes{100};

// RtMidi's client of a dead server takes 16 KB of messages, each with its length in four bytes, and
// then waits for ever. So no more than this is sent before the server has gone on.
constexpr std::size_t kMostAhead = 12'000;
constexpr std::chrono::seconds kGoingOnTakes{1};

}  // namespace

struct MidiPort::Handle {
  std::string complaint;  // of the client; outlives it
  std::unique_ptr<RtMidiOut> client;
  std::string name;
  std::atomic<bool> failed = false;
  std::unique_ptr<JackWatch> watch;  // where it is a port of JACK
  JackPulse pulse;                   // of connected()
  // Of send(): bytes that were sent since the cycles it knows.
  std::size_t ahead = 0;
  std::uint64_t cycles_known = 0;
  int burst = 0;
  std::chrono::steady_clock::time_point burst_began;

  static Result<std::unique_ptr<Handle>> of(const ChosenPort& chosen);
  static bool may_send(Handle& handle, std::size_t bytes);

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

std::vector<MidiBackEnd> midi_back_ends() {
  std::vector<MidiBackEnd> all;
  for (const RtMidi::Api api : compiled_apis()) {
    MidiBackEnd& found = all.emplace_back();
    found.name = display_name(api);
    std::string complaint;
    if (const auto client = client_of<RtMidiOut>(api, complaint)) {
      found.ports = ports_of(*client);
    } else {
      found.why_not = why_not(api);
      continue;
    }
    if (const auto client = client_of<RtMidiIn>(api, complaint)) {
      found.inputs = ports_of(*client);
    }
  }
  return all;
}

MidiPort::MidiPort(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
MidiPort::MidiPort(MidiPort&&) noexcept = default;
MidiPort& MidiPort::operator=(MidiPort&&) noexcept = default;
MidiPort::~MidiPort() = default;

Result<std::unique_ptr<MidiPort::Handle>> MidiPort::Handle::of(const ChosenPort& chosen) {
  auto handle = std::make_unique<Handle>();
  handle->name = chosen.name;
  const QuietStderr quiet;
  const bool is_jack = chosen.api == RtMidi::UNIX_JACK;
  if (is_jack) handle->watch = JackWatch::open();
  if (!is_jack || handle->watch)
    handle->client = client_of<RtMidiOut>(chosen.api, handle->complaint);
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
  const Result<ChosenPort> chosen = chosen_port<RtMidiOut>(name);
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

bool MidiPort::connected() const { return is_connected(*handle_); }

}  // namespace arsis
