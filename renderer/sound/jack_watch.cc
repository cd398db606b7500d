#include "sound/jack_watch.h"

#include <jack/jack.h>

#include <atomic>
#include <cstdlib>
#include <utility>

namespace arsis {

struct JackWatch::State {
  jack_client_t* client = nullptr;
  std::atomic<std::uint64_t> cycles = 0;
  std::atomic<bool> shut_down = false;

  static int count(jack_nframes_t, void* state) {
    ++static_cast<State*>(state)->cycles;
    return 0;
  }
  static void note_shutdown(void* state) { static_cast<State*>(state)->shut_down = true; }
};

void start_no_jack_server() { ::setenv("JACK_NO_START_SERVER", "1", 0); }

std::unique_ptr<JackWatch> JackWatch::open() {
  auto state = std::make_unique<State>();
  state->client = jack_client_open("arsis-watch", JackNoStartServer, nullptr);
  if (state->client == nullptr) return nullptr;
  jack_set_process_callback(state->client, State::count, state.get());
  jack_on_shutdown(state->client, State::note_shutdown, state.get());
  std::unique_ptr<JackWatch> watch(new JackWatch(std::move(state)));
  if (jack_activate(watch->state_->client) != 0) return nullptr;
  return watch;
}

JackWatch::JackWatch(std::unique_ptr<State> state) : state_(std::move(state)) {}
JackWatch::~JackWatch() { jack_client_close(state_->client); }

std::uint64_t JackWatch::cycles() const { return state_->cycles; }
bool JackWatch::is_shut_down() const { return state_->shut_down; }

}  // namespace arsis
