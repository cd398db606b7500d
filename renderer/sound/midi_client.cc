#include "sound/midi_client.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "sound/quiet_stderr.h"

namespace arsis {
namespace {

constexpr const char* kClient = "arsis";

// A JACK server whose cycles stand still for so long is dead or frozen.
constexpr std::chrono::seconds kMayStandStill{2};

void keep_first(RtMidiError::Type, const std::string& text, void* kept) {
  auto& first = *static_cast<std::string*>(kept);
  if (first.empty()) first = text;
}

bool holds_words(std::string_view port, std::string_view words) {
  return lower_case(port).find(lower_case(words)) != std::string::npos;
}

}  // namespace

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

template <class Client>
std::unique_ptr<Client> client_of(RtMidi::Api api, std::string& complaint) {
  start_no_jack_server();
  const QuietStderr quiet;
  try {
    auto client = std::make_unique<Client>(api, kClient);
    client->setErrorCallback(keep_first, &complaint);
    // JACK's is only made when it is asked something, and then complains without throwing.
    client->getPortCount();
    if (complaint.empty()) return client;
  } catch (const RtMidiError&) {
  }
  return nullptr;
}

std::vector<RtMidi::Api> compiled_apis() {
  std::vector<RtMidi::Api> apis;
  RtMidi::getCompiledApi(apis);
  std::erase(apis, RtMidi::RTMIDI_DUMMY);
  return apis;
}

std::vector<std::string> ports_of(RtMidi& client) {
  std::vector<std::string> ports;
  for (unsigned i = 0; i < client.getPortCount(); ++i) ports.push_back(client.getPortName(i));
  return ports;
}

template <class Client>
Result<ChosenPort> chosen_port(const std::string& name) {
  std::vector<ChosenPort> candidates;
  bool any = false;
  for (const RtMidi::Api api : compiled_apis()) {
    std::string complaint;
    const auto client = client_of<Client>(api, complaint);
    if (!client) continue;
    const std::vector<std::string> ports = ports_of(*client);
    any |= !ports.empty();
    for (unsigned i = 0; i < ports.size(); ++i) {
      if (holds_words(ports[i], name)) candidates.push_back({api, i, ports[i]});
    }
  }
  const auto exact = std::ranges::find(candidates, name, &ChosenPort::name);
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

template std::unique_ptr<RtMidiOut> client_of(RtMidi::Api api, std::string& complaint);
template std::unique_ptr<RtMidiIn> client_of(RtMidi::Api api, std::string& complaint);
template Result<ChosenPort> chosen_port<RtMidiOut>(const std::string& name);
template Result<ChosenPort> chosen_port<RtMidiIn>(const std::string& name);

bool JackPulse::is_alive(const JackWatch& watch) {
  const auto now = std::chrono::steady_clock::now();
  const std::uint64_t cycles = watch.cycles();
  if (cycles != seen_) {
    seen_ = cycles;
    moved_ = now;
  }
  return !watch.is_shut_down() && now - moved_ <= kMayStandStill;
}

}  // namespace arsis
