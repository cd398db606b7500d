// A performance played now: through the synthesizer on an audio device, or to a MIDI port. It plays
// on threads of its own and takes commands meanwhile.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "sound/audio_output.h"
#include "sound/midi_port.h"
#include "sound/player.h"
#include "sound/synthesizer.h"

namespace arsis {

struct LiveState {
  Beats at;
  int round = 1;
  bool paused = false;
  bool done = false;  // everything has been played, and has died away
};

struct LiveReport {
  std::uint64_t messages = 0;
  Seconds off_half;  // half of the notes begin within this of their moment ...
  Seconds off_most;  // ... and 99 of a hundred within this, the device's own delay not counted
  std::optional<Seconds> first_note;  // after the start of playing
};

struct LiveSound {
  AudioOutputRequest output;
  std::filesystem::path soundfont;
  SynthesizerSettings synthesizer;  // its rate is that of the output
};

class LivePlayback {
 public:
  // Both begin to play at once. Errors: no device, port or SoundFont (exit code 3). [main thread]
  static Result<LivePlayback> through_synthesizer(std::shared_ptr<const Rendition> rendition,
                                                  const PlayerSettings& settings,
                                                  const LiveSound& sound);
  static Result<LivePlayback> to_port(std::shared_ptr<const Rendition> rendition,
                                      const PlayerSettings& settings, MidiPort port);
  LivePlayback(LivePlayback&&) noexcept;
  LivePlayback& operator=(LivePlayback&&) = delete;
  ~LivePlayback();  // stop()

  // These take effect within a buffer's time (audio) or at once (MIDI). [main thread]
  void pause();
  void resume();
  void go_to(Beats moment);
  void change(std::shared_ptr<const Rendition> rendition);  // see Player::change()
  // Ends what sounds and begins this from its start, of another score or the same; not paused.
  void begin(std::shared_ptr<const Rendition> rendition, const PlayerSettings& settings);
  // Ends every note on every channel, lets it die away for a moment, and closes. Bounded in time,
  // whatever the device does.
  void stop();

  LiveState state() const;
  LiveReport report() const;
  // Says what has become of the device, where it has vanished: "the audio device (alsa) has
  // stopped". Asks the system, so call it some times a second at most. [main thread]
  std::optional<std::string> fault();
  // "audio (pulseaudio)" or the port's name.
  std::string where() const;

 private:
  struct Engine;
  explicit LivePlayback(std::unique_ptr<Engine> engine);
  std::unique_ptr<Engine> engine_;
};

}  // namespace arsis
