// A child answers within its bounds, or is ended.
#include "base/child_process.h"

#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cerrno>

namespace arsis {
namespace {

using namespace std::chrono_literals;

ChildAnswer shell(const std::string& script, std::string_view input = {},
                  const ChildLimits& limits = {}) {
  return ask_child({"sh", "-c", script}, input, limits);
}

// Whether every child of this program has been waited for.
bool is_alone() { return ::waitpid(-1, nullptr, WNOHANG) < 0 && errno == ECHILD; }

TEST(ChildProcess, IsGivenItsInputAndAnswers) {
  const std::string input(300'000, 'x');  // more than a pipe holds
  const ChildAnswer answer = shell("cat; exit 7", input);
  EXPECT_EQ(answer.end, ChildEnd::kAnswered);
  EXPECT_EQ(answer.status, 7);
  EXPECT_EQ(answer.out, input);
  EXPECT_TRUE(is_alone());
}

TEST(ChildProcess, TakesItsWordsAsTheyAre) {
  EXPECT_EQ(ask_child({"printf", "%s|", "$HOME; `id`", "", "'"}, "", {}).out, "$HOME; `id`||'|");
}

TEST(ChildProcess, MayLeaveItsInputUnread) { EXPECT_EQ(shell("echo a", "never read").out, "a\n"); }

TEST(ChildProcess, IsHeardOnStandardOutputOnly) {
  EXPECT_EQ(shell("echo a >&2; echo b").out, "b\n");
}

TEST(ChildProcess, IsNotStartedWhereThereIsNoSuchProgram) {
  EXPECT_EQ(ask_child({"arsis-no-such-program"}, "", {}).end, ChildEnd::kNotStarted);
  EXPECT_EQ(ask_child({"/dev/null"}, "", {}).end, ChildEnd::kNotStarted);
  EXPECT_TRUE(is_alone());
}

TEST(ChildProcess, IsEndedWhenItsTimeIsUp) {
  EXPECT_EQ(shell("exec sleep 60", "", {.time = 50ms}).end, ChildEnd::kTooLong);
  EXPECT_EQ(shell("exec >&-; exec sleep 60", "", {.time = 50ms}).end, ChildEnd::kTooLong);
  EXPECT_TRUE(is_alone());
}

TEST(ChildProcess, IsEndedWhenItSaysTooMuch) {
  const ChildAnswer answer = shell("exec yes", "", {.answer = 100'000});
  EXPECT_EQ(answer.end, ChildEnd::kTooMuch);
  EXPECT_LE(answer.out.size(), 100'000u);
  EXPECT_TRUE(is_alone());
}

TEST(ChildProcess, MayDieOfASignal) {
  const ChildAnswer answer = shell("echo a; kill -9 $$");
  EXPECT_EQ(answer.end, ChildEnd::kAnswered);
  EXPECT_LT(answer.status, 0);
}

}  // namespace
}  // namespace arsis
