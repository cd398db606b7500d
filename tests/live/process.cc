#include "live/process.h"

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <stdexcept>

namespace arsis::test {
namespace {

constexpr int kNotStarted = 127;  // as a shell says it

std::vector<char*> pointers(std::vector<std::string>& words) {
  std::vector<char*> all;
  for (std::string& word : words) all.push_back(word.data());
  all.push_back(nullptr);
  return all;
}

std::vector<std::string> environment_with(const std::vector<std::string>& added) {
  std::vector<std::string> all = added;
  // Of the sanitize build; nothing in others.
  all.emplace_back("LSAN_OPTIONS=print_suppressions=0:suppressions=" ARSIS_SOURCE_DIR
                   "/tests/live/leaks.supp");
  for (char** each = environ; *each != nullptr; ++each) {
    const std::string_view variable = *each;
    const std::string_view name = variable.substr(0, variable.find('=') + 1);
    bool replaced = name == "ARSIS_SOUNDFONT=";
    for (const std::string& own : added) replaced |= own.starts_with(name);
    if (!replaced) all.emplace_back(variable);
  }
  return all;
}

int create(const std::filesystem::path& path) {
  return ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
}

// What the child does; between fork and exec nothing may ask for memory.
struct Child {
  std::vector<char*> words;
  std::vector<char*> environment;
  const char* folder;
  int input;  // -1: the terminal
  int out;
  int err;

  [[noreturn]] void become() const {
    // An end of the test ends it too: kindly, so that a server clears up behind itself.
    ::prctl(PR_SET_PDEATHSIG, SIGTERM);
    // A shell's background job is born deaf to Ctrl-C.
    for (const int number : {SIGINT, SIGTERM, SIGHUP, SIGPIPE}) ::signal(number, SIG_DFL);
    if (input >= 0) {
      ::dup2(input, STDIN_FILENO);
      ::dup2(out, STDOUT_FILENO);
      ::dup2(err, STDERR_FILENO);
    }
    if (::chdir(folder) == 0) ::execvpe(words[0], words.data(), environment.data());
    ::_exit(kNotStarted);
  }
};

}  // namespace

bool wait_until(const std::function<bool()>& holds, Clock::duration most) {
  const auto limit = Clock::now() + most;
  while (!holds()) {
    if (Clock::now() > limit) return false;
    std::this_thread::sleep_for(10ms);
  }
  return true;
}

Process::Process(const Command& command) {
  std::vector<std::string> words = command.words;
  std::vector<std::string> environment = environment_with(command.environment);
  Child child{pointers(words), pointers(environment), command.folder.c_str(), -1, -1, -1};
  if (command.columns > 0) {
    winsize size{};
    size.ws_col = static_cast<unsigned short>(command.columns);
    size.ws_row = 24;
    ::signal(SIGINT, SIG_DFL);  // a shell's background job has it ignored, and so its children
    pid_ = ::forkpty(&terminal_, nullptr, nullptr, &size);
    if (pid_ == 0) child.become();
    if (pid_ < 0) throw std::runtime_error("no terminal");
    ::fcntl(terminal_, F_SETFD, FD_CLOEXEC);
    watcher_ = std::thread([this] { watch_screen(); });
    return;
  }
  std::array<int, 2> pipe{};
  if (::pipe2(pipe.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
  input_ = pipe[1];
  child.input = pipe[0];
  child.out = create(aside_.path() / "out");
  child.err = create(aside_.path() / "err");
  ::signal(SIGINT, SIG_DFL);  // as above
  pid_ = ::fork();
  if (pid_ == 0) child.become();
  for (const int end : {child.input, child.out, child.err}) ::close(end);
  if (pid_ < 0) throw std::runtime_error("no process");
  if (::write(input_, command.input.data(), command.input.size()) < 0) {
    throw std::runtime_error("no input");
  }
}

Process::~Process() {
  if (!wait(0ms)) {
    signal(SIGTERM);
    if (!wait(5s)) {
      signal(SIGKILL);
      wait();
    }
  }
  hang_up();
  end_input();
}

void Process::hang_up() {
  closing_ = true;
  if (watcher_.joinable()) watcher_.join();
  if (terminal_ >= 0) ::close(terminal_);
  terminal_ = -1;
}

void Process::end_input() {
  if (input_ >= 0) ::close(input_);
  input_ = -1;
}

void Process::signal(int number) const {
  if (!ended_) ::kill(pid_, number);
}

std::optional<int> Process::wait(Clock::duration most) {
  wait_until(
      [this] {
        int status = 0;
        if (!ended_ && ::waitpid(pid_, &status, WNOHANG) == pid_) {
          ended_ = WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
        }
        return ended_.has_value();
      },
      most);
  return ended_;
}

void Process::type(std::string_view keys) const {
  if (::write(terminal_, keys.data(), keys.size()) != static_cast<ssize_t>(keys.size())) {
    throw std::runtime_error("the terminal takes no keys");
  }
}

std::string Process::screen() const {
  const std::lock_guard lock(mutex_);
  return screen_;
}

termios Process::terminal_state() const {
  termios state{};
  if (::tcgetattr(terminal_, &state) != 0) throw std::runtime_error("no terminal");
  return state;
}

void Process::watch_screen() {
  // A terminal that nobody holds any more is not at its end for good: a program may be about to
  // open it. So this goes on until the object is gone.
  while (!closing_) {
    pollfd input{.fd = terminal_, .events = POLLIN, .revents = 0};
    std::array<char, 4096> bytes{};
    if (::poll(&input, 1, 20) <= 0) continue;
    const ssize_t count = ::read(terminal_, bytes.data(), bytes.size());
    if (count <= 0) {
      std::this_thread::sleep_for(5ms);
      continue;
    }
    const std::lock_guard lock(mutex_);
    screen_.append(bytes.data(), static_cast<std::size_t>(count));
  }
}

}  // namespace arsis::test
