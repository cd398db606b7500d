#include "base/child_process.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <optional>
#include <thread>

extern char** environ;

namespace arsis {
namespace {

using Clock = std::chrono::steady_clock;
using FilePointer = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

// A descriptor that is closed at the end.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() { close(); }

  int number() const { return number_; }
  void close() {
    if (number_ >= 0) ::close(number_);
    number_ = -1;
  }

 private:
  int number_;
};

// Holds the input, at its beginning; none where there is no room.
FilePointer file_without_name(std::string_view input) {
  FilePointer file(std::tmpfile(), std::fclose);
  if (file == nullptr) return file;
  const bool taken = input.empty() ||  // fwrite takes no null pointer
                     std::fwrite(input.data(), 1, input.size(), file.get()) == input.size();
  const bool written =
      taken && std::fflush(file.get()) == 0 && ::lseek(::fileno(file.get()), 0, SEEK_SET) == 0;
  if (!written) file.reset();
  return file;
}

// Begins the child; none where it cannot be. Its signals are as every program expects them.
std::optional<pid_t> start(const std::vector<std::string>& words, int in, int out) {
  posix_spawn_file_actions_t files;
  posix_spawnattr_t attributes;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawnattr_init(&attributes);
  ::posix_spawn_file_actions_adddup2(&files, in, STDIN_FILENO);
  ::posix_spawn_file_actions_adddup2(&files, out, STDOUT_FILENO);
  ::posix_spawn_file_actions_addopen(&files, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  sigset_t none;
  sigset_t all;
  ::sigemptyset(&none);
  ::sigfillset(&all);
  ::sigdelset(&all, SIGKILL);
  ::sigdelset(&all, SIGSTOP);
  ::posix_spawnattr_setsigmask(&attributes, &none);
  ::posix_spawnattr_setsigdefault(&attributes, &all);
  ::posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
  std::vector<std::string> own = words;
  std::vector<char*> pointers;
  for (std::string& word : own) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  pid_t pid = 0;
  const int failed =
      ::posix_spawnp(&pid, pointers[0], &files, &attributes, pointers.data(), environ);
  ::posix_spawn_file_actions_destroy(&files);
  ::posix_spawnattr_destroy(&attributes);
  if (failed != 0) return std::nullopt;
  return pid;
}

// Reads until the other end is closed, or a limit is reached.
ChildEnd collect(int from, Clock::time_point limit, std::size_t most, std::string& out) {
  std::array<char, 65'536> buffer;
  for (;;) {
    const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(limit - Clock::now());
    if (left.count() <= 0) return ChildEnd::kTooLong;
    pollfd waiting{from, POLLIN, 0};
    const int ready = ::poll(&waiting, 1, static_cast<int>(std::min<long>(left.count(), 1'000)));
    if (ready < 0 && errno != EINTR) return ChildEnd::kTooLong;
    if (ready <= 0) continue;
    const ssize_t count = ::read(from, buffer.data(), buffer.size());
    if (count == 0) return ChildEnd::kAnswered;
    if (count < 0 && errno != EINTR) return ChildEnd::kTooLong;
    if (count <= 0) continue;
    if (out.size() + static_cast<std::size_t>(count) > most) return ChildEnd::kTooMuch;
    out.append(buffer.data(), static_cast<std::size_t>(count));
  }
}

// Waits for the child's end until the limit; ends it then.
ChildEnd await(pid_t pid, Clock::time_point limit, ChildEnd end, int& status) {
  int state = 0;
  for (;;) {
    const pid_t ended = ::waitpid(pid, &state, end == ChildEnd::kAnswered ? WNOHANG : 0);
    if (ended == pid) break;
    if (ended < 0 && errno != EINTR) break;
    if (ended != 0) continue;
    if (Clock::now() > limit) {
      end = ChildEnd::kTooLong;
      ::kill(pid, SIGKILL);
    } else {
      std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
  }
  status = WIFEXITED(state) ? WEXITSTATUS(state) : -1;
  return end;
}

}  // namespace

ChildAnswer ask_child(const std::vector<std::string>& words, std::string_view input,
                      const ChildLimits& limits) {
  ChildAnswer answer;
  const auto limit = Clock::now() + limits.time;
  const FilePointer file = file_without_name(input);
  std::array<int, 2> pipe{};
  if (file == nullptr || ::pipe2(pipe.data(), O_CLOEXEC) != 0) return answer;
  const Descriptor from(pipe[0]);
  Descriptor to(pipe[1]);
  const auto pid = start(words, ::fileno(file.get()), to.number());
  to.close();
  if (!pid) return answer;
  answer.end = collect(from.number(), limit, limits.answer, answer.out);
  if (answer.end != ChildEnd::kAnswered) ::kill(*pid, SIGKILL);
  answer.end = await(*pid, limit, answer.end, answer.status);
  return answer;
}

}  // namespace arsis
