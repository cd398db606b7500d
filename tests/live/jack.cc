#include "live/jack.h"

#include <signal.h>
#include <unistd.h>

#include <algorithm>
#include <sstream>
#include <stdexcept>

namespace arsis::test {
namespace {

// What a server leaves in shared memory that was killed: its sockets and semaphores bear its name.
void remove_remains(const std::string& name) {
  std::error_code ignored;
  for (const auto& entry : std::filesystem::directory_iterator("/dev/shm", ignored)) {
    const std::string file = entry.path().filename().string();
    if (file.starts_with("jack") && file.find(name + "_") != std::string::npos) {
      std::filesystem::remove(entry.path(), ignored);
    }
  }
}

Heard heard_of(const std::string& line) {
  std::istringstream words(line);
  std::int64_t nanoseconds = 0;
  char colon = 0;
  words >> nanoseconds >> colon >> std::hex;
  Heard heard;
  heard.at = Clock::time_point(std::chrono::nanoseconds(nanoseconds));
  for (int byte = 0; words >> byte;) heard.bytes.push_back(static_cast<std::uint8_t>(byte));
  return heard;
}

// Of whole lines after the first, "ready".
std::vector<Heard> all_of(const std::string& out) {
  std::vector<Heard> heard;
  std::istringstream text(out);
  std::string line;
  std::getline(text, line);
  while (std::getline(text, line) && !text.eof()) {
    if (line != "done") heard.push_back(heard_of(line));
  }
  return heard;
}

}  // namespace

JackServer::JackServer() {
  static int count = 0;
  name_ = "arsis-" + std::to_string(::getpid()) + "-" + std::to_string(++count);
  start();
}

void JackServer::start() {
  // -S: it keeps step with its clients, so that a machine under load loses no message.
  process_ = std::make_unique<Process>(
      Command{.words = {"jackd", "-r", "-S", "-n", name_, "-d", "dummy", "-r", "48000", "-p", "64"},
              .environment = environment()});
  Process waiter({.words = {"jack_wait", "-s", name_, "-w", "-t", "20"}});
  if (waiter.wait(30s) != 0) {
    throw std::runtime_error("no JACK server can be started (package jackd2): " + process_->err());
  }
}

// The system has room for eight servers, and one that is killed keeps its place until another of
// the same name has come and gone.
JackServer::~JackServer() {
  for (int attempt = 0; attempt < 3; ++attempt) {
    process_->signal(SIGTERM);
    const bool in_good_order = process_->wait(5s) == 0;
    process_.reset();
    remove_remains(name_);
    if (in_good_order) return;
    try {
      start();
    } catch (const std::runtime_error&) {
    }
  }
}

std::vector<std::string> JackServer::environment() const {
  return {"JACK_DEFAULT_SERVER=" + name_, "JACK_NO_START_SERVER=1", "JACK_NO_AUDIO_RESERVATION=1"};
}

void JackServer::kill() {
  process_->signal(SIGKILL);
  process_->wait();
}

const JackServer& shared_server() {
  static const JackServer server;
  return server;
}

Receiver::Receiver(const JackServer& server, const std::string& client) {
  process_ = std::make_unique<Process>(
      Command{.words = {MIDI_LISTENER, client, "keys"}, .environment = server.environment()});
  if (!wait_until([&] { return process_->out().starts_with("ready\n"); })) {
    throw std::runtime_error("no MIDI port can be opened: " + process_->err());
  }
}

// In good order: a server that keeps step with its clients waits long for one that was killed.
void Receiver::close() {
  if (!process_) return;
  process_->end_input();
  process_->wait(5s);
  process_.reset();
}

std::vector<Heard> Receiver::heard() const { return all_of(process_->out()); }

std::size_t Receiver::ons() const {
  return static_cast<std::size_t>(std::ranges::count_if(heard(), &Heard::is_on));
}

bool Receiver::wait_for_ons(std::size_t count) const {
  return wait_until([&] { return ons() >= count; });
}

std::vector<Heard> Receiver::all() const {
  std::size_t before = heard().size();
  auto since = Clock::now();
  wait_until([&] {
    const std::size_t now = heard().size();
    if (now != before) since = Clock::now();
    before = now;
    return Clock::now() - since > 250ms;
  });
  return heard();
}

Sender::Sender(const JackServer& server, int notes, std::chrono::milliseconds apart, bool sign,
               const std::string& client) {
  std::vector<std::string> words = {MIDI_SENDER, client, "keys", std::to_string(notes),
                                    std::to_string(apart.count())};
  if (sign) words.emplace_back("sign");
  process_ =
      std::make_unique<Process>(Command{.words = words, .environment = server.environment()});
  if (!wait_until([&] { return process_->out().starts_with("ready\n"); })) {
    throw std::runtime_error("no MIDI port can be opened: " + process_->err());
  }
}

void Sender::play() { process_->end_input(); }

std::vector<Heard> Sender::sent() const { return all_of(process_->out()); }

bool Sender::wait_until_done() const {
  return wait_until([&] { return process_->out().ends_with("done\n"); });
}

void Sender::close() {
  if (!process_) return;
  process_->end_input();
  process_->signal(SIGTERM);
  process_->wait(5s);
  process_.reset();
}

}  // namespace arsis::test
