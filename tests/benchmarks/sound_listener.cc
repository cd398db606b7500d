// An ear: listens to the JACK client "arsis" and prints when its first sound comes, in nanoseconds
// of the steady clock.
#include <jack/jack.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <thread>

namespace {

std::atomic<long long> first_sound = 0;
jack_port_t* port = nullptr;

int listen(jack_nframes_t count, void*) {
  const auto* sound = static_cast<const float*>(jack_port_get_buffer(port, count));
  for (jack_nframes_t i = 0; i < count && first_sound == 0; ++i) {
    if (std::abs(sound[i]) < 1e-4F) continue;
    first_sound = std::chrono::duration_cast<std::chrono::nanoseconds>(
                      std::chrono::steady_clock::now().time_since_epoch())
                      .count();
  }
  return 0;
}

}  // namespace

int main() {
  jack_client_t* client = jack_client_open("ear", JackNoStartServer, nullptr);
  if (client == nullptr) return 1;
  jack_set_process_callback(client, listen, nullptr);
  port = jack_port_register(client, "in", JACK_DEFAULT_AUDIO_TYPE, JackPortIsInput, 0);
  jack_activate(client);
  std::puts("ready");
  std::fflush(stdout);
  // Connects itself as soon as there is something to hear.
  bool connected = false;
  while (first_sound == 0) {
    if (!connected) {
      const char** ports =
          jack_get_ports(client, "arsis", JACK_DEFAULT_AUDIO_TYPE, JackPortIsOutput);
      connected = ports != nullptr && jack_connect(client, ports[0], "ear:in") == 0;
      jack_free(ports);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  std::printf("%lld\n", first_sound.load());
  std::fflush(stdout);
  char end = 0;
  while (::read(STDIN_FILENO, &end, 1) > 0) {
  }
  jack_client_close(client);
  return 0;
}
