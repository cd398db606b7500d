// Whether a JACK server is alive: for those of its clients whom it does not tell, as RtMidi's.
#pragma once

#include <cstdint>
#include <memory>

namespace arsis {

// libjack starts no server from now on, which it would try otherwise. To be called before any of
// its clients is opened.
void start_no_jack_server();

// A client of its own that only counts the server's cycles.
class JackWatch {
 public:
  // None where no server is running. To be opened before other clients of the process and closed
  // after them: an attempt that fails takes libjack's connections down with it. [main thread]
  static std::unique_ptr<JackWatch> open();
  JackWatch(const JackWatch&) = delete;
  JackWatch& operator=(const JackWatch&) = delete;
  ~JackWatch();  // not to be reached once is_shut_down(): libjack crashes where a client of a dead
                 // server is closed

  // Rises with every period of the server, and stands still once it is dead or frozen.
  std::uint64_t cycles() const;
  // The server has said goodbye, or libjack has noticed that it is gone.
  bool is_shut_down() const;

 private:
  struct State;
  explicit JackWatch(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace arsis
