// A JACK server of the test's own, without a sound device, and instruments that listen at its
// ports.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "live/heard.h"
#include "live/process.h"

namespace arsis::test {

// Throws where there is none to be had: a test without a server has failed.
class JackServer {
 public:
  JackServer();
  JackServer(const JackServer&) = delete;
  JackServer& operator=(const JackServer&) = delete;
  ~JackServer();

  const std::string& name() const { return name_; }
  // For whatever is to meet this server and no other.
  std::vector<std::string> environment() const;
  // As a crash would.
  void kill();

 private:
  void start();

  std::string name_;
  std::unique_ptr<Process> process_;
};

// The server that most tests of a program share.
const JackServer& shared_server();

// An instrument at the port "client:keys".
class Receiver {
 public:
  explicit Receiver(const JackServer& server, const std::string& client = "piano");
  Receiver(const Receiver&) = delete;
  Receiver& operator=(const Receiver&) = delete;
  ~Receiver() { close(); }

  // Everything so far.
  std::vector<Heard> heard() const;
  std::size_t ons() const;
  // Waits for so many beginnings of notes.
  bool wait_for_ons(std::size_t count) const;
  // Waits until nothing has come for a while, and gives everything.
  std::vector<Heard> all() const;
  // Its port goes.
  void close();

 private:
  std::unique_ptr<Process> process_;
};

// An instrument that is played, at the port "client:keys".
class Sender {
 public:
  // `apart`: from note to note. `sign`: at the end the two lowest keys are held.
  Sender(const JackServer& server, int notes, std::chrono::milliseconds apart, bool sign = false,
         const std::string& client = "piano");
  Sender(const Sender&) = delete;
  Sender& operator=(const Sender&) = delete;
  ~Sender() { close(); }

  void play();  // begins
  // Every message that was played so far.
  std::vector<Heard> sent() const;
  // Waits until all is played.
  bool wait_until_done() const;
  // Its port goes.
  void close();

 private:
  std::unique_ptr<Process> process_;
};

}  // namespace arsis::test
