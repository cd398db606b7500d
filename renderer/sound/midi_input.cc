#include "sound/midi_input.h"

#include <fmt/format.h>

#include <algorithm>
#include <mutex>
#include <utility>

#include "base/text.h"
#include "sound/midi_client.h"
#include "sound/quiet_stderr.h"

namespace arsis {

struct MidiInput::Handle {
  std::string complaint;  // of the client; outlives it
  std::unique_ptr<RtMidiIn> client;
  std::string name;
  std::unique_ptr<JackWatch> watch;  // where it is a port of JACK
  JackPulse pulse;
  bool failed = false;
  std::mutex mutex;
  std::vector<ReceivedMessage> received;

  static void take(double, std::vector<unsigned char>* bytes, void* handle);
  static Result<std::unique_ptr<Handle>> of(const ChosenPort& chosen);

  // As in midi_port.cc: libjack crashes where a client of a dead server is closed.
  ~Handle() {
    if (client && client->isPortOpen()) client->cancelCallback();
    if (failed && watch) {
      static_cast<void>(client.release());
      static_cast<void>(watch.release());
    } else if (client) {
      client->closePort();
    }
  }
};

// [a thread of the back end]
void MidiInput::Handle::take(double, std::vector<unsigned char>* bytes, void* handle) {
  ReceivedMessage message;
  message.at = std::chrono::steady_clock::now();
  constexpr std::uint8_t kSystem = 0xF0;
  const bool is_channel = !bytes->empty() && (*bytes)[0] >= 0x80 && (*bytes)[0] < kSystem;
  if (!is_channel || bytes->size() > message.bytes.size()) return;
  std::ranges::copy(*bytes, message.bytes.begin());
  message.size = static_cast<std::uint8_t>(bytes->size());
  auto& to = *static_cast<Handle*>(handle);
  const std::lock_guard lock(to.mutex);
  to.received.push_back(message);
}

Result<std::unique_ptr<MidiInput::Handle>> MidiInput::Handle::of(const ChosenPort& chosen) {
  auto handle = std::make_unique<Handle>();
  handle->name = chosen.name;
  const QuietStderr quiet;
  const bool is_jack = chosen.api == RtMidi::UNIX_JACK;
  if (is_jack) handle->watch = JackWatch::open();
  if (!is_jack || handle->watch) {
    handle->client = client_of<RtMidiIn>(chosen.api, handle->complaint);
  }
  try {
    // It may have gone meanwhile, and opening a number that is not there reports success.
    if (handle->client && ports_of(*handle->client).size() > chosen.number &&
        handle->client->getPortName(chosen.number) == handle->name) {
      handle->client->setCallback(take, handle.get());
      handle->client->openPort(chosen.number, "in");
    }
  } catch (const RtMidiError&) {
  }
  if (!handle->client || !handle->client->isPortOpen() || !handle->complaint.empty()) {
    return fail({}, fmt::format("the MIDI port '{}' cannot be opened", printable(handle->name)),
                "another program may hold it");
  }
  return handle;
}

MidiInput::MidiInput(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
MidiInput::MidiInput(MidiInput&&) noexcept = default;
MidiInput& MidiInput::operator=(MidiInput&&) noexcept = default;
MidiInput::~MidiInput() = default;

Result<MidiInput> MidiInput::open(const std::string& name) {
  const Result<ChosenPort> chosen = chosen_port<RtMidiIn>(name);
  if (!chosen) return chosen.diagnostics();
  Result<std::unique_ptr<Handle>> handle = Handle::of(*chosen);
  if (!handle) return handle.diagnostics();
  return MidiInput(*std::move(handle));
}

const std::string& MidiInput::name() const { return handle_->name; }

std::vector<ReceivedMessage> MidiInput::received() {
  const std::lock_guard lock(handle_->mutex);
  return std::exchange(handle_->received, {});
}

bool MidiInput::connected() const { return is_connected(*handle_); }

}  // namespace arsis
