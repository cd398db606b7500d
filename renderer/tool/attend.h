// The loop of a command that plays: keys, the line that tells where the music is, the device.
#pragma once

#include <chrono>
#include <concepts>
#include <optional>
#include <string>

#include "sound/live.h"
#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/stop_signals.h"
#include "tool/terminal.h"

namespace arsis {

// What a person does to what is playing, and sees of it.
template <class Session>
concept AtTheKeys = requires(Session session, KeyPress key, const LiveState& state,
                             LivePlayback& playback, Terminal& terminal) {
  { session.press(key, playback, terminal) } -> std::same_as<bool>;  // false: to leave off
  { session.follow(state, playback) } -> std::same_as<bool>;         // false: it is over
  { session.status(state) } -> std::same_as<std::string>;
};

inline constexpr std::chrono::milliseconds kGlance{40};  // between two looks at keys and player
inline constexpr std::chrono::milliseconds kCheck{500};  // between two looks at the device

// Until the end, a key, a signal or a device that vanishes: then what became of it.
template <AtTheKeys Session>
std::optional<std::string> attend(Session& session, LivePlayback& playback, Terminal& terminal) {
  auto checked = std::chrono::steady_clock::now();
  while (!StopSignals::caught()) {
    const LiveState state = playback.state();
    if (!session.follow(state, playback)) break;
    terminal.show(session.status(state));
    if (const auto key = terminal.read_key(kGlance)) {
      if (!session.press(*key, playback, terminal)) break;
    }
    const auto now = std::chrono::steady_clock::now();
    if (now - checked < kCheck) continue;
    checked = now;
    if (auto fault = playback.fault()) return fault;
  }
  return std::nullopt;
}

// The exit code, after the playback has stopped; ends by the signal that has come.
inline int after_playing(const std::optional<std::string>& fault) {
  if (fault) {
    report(fail({}, *fault, "see that it is there, and begin again"));
    return kDeviceMissing;
  }
  StopSignals::obey();
  return kDone;
}

}  // namespace arsis
