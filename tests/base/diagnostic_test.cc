// How a message reads, and what a Result says of itself.
#include "base/diagnostic.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

TEST(Diagnostic, ReadsAsPlaceProblemAndRemedy) {
  struct Row {
    Diagnostic diagnostic;
    const char* text;
  };
  const Row rows[] = {
      {error({"song.yaml", 14, 9, {}}, "main 4 is out of range", "choose 1 to 3"),
       "song.yaml:14:9: main 4 is out of range; choose 1 to 3"},
      {warning({"song.yaml", 2, 1, {}}, "a long piece", "shorten it"),
       "song.yaml:2:1: warning: a long piece; shorten it"},
      {error({"song.yaml", 0, 0, {}}, "no such file"), "song.yaml: no such file"},
      {error({"song.mid", 0, 0, "track 2, byte 315"}, "a note without an end", "it is left out"),
       "song.mid: track 2, byte 315: a note without an end; it is left out"},
      {error({}, "out of memory"), "out of memory"},
  };
  for (const Row& row : rows) EXPECT_EQ(to_string(row.diagnostic), row.text);
}

TEST(Diagnostic, CountsAsAnErrorOnlyIfOneIsThere) {
  EXPECT_FALSE(has_errors({}));
  EXPECT_FALSE(has_errors({warning({}, "a")}));
  EXPECT_TRUE(has_errors({warning({}, "a"), error({}, "b")}));
}

TEST(Result, HoldsAValueWithItsWarningsOrTheErrors) {
  const Result<int> good(3, {warning({}, "doubtful")});
  ASSERT_TRUE(good);
  EXPECT_EQ(*good, 3);
  EXPECT_EQ(good.diagnostics().size(), 1u);
  const Result<int> bad = fail({.file = "a"}, "wrong", "right");
  ASSERT_FALSE(bad);
  ASSERT_EQ(bad.diagnostics().size(), 1u);
  EXPECT_EQ(to_string(bad.diagnostics()[0]), "a: wrong; right");
}

TEST(Diagnostics, AreSaidOnce) {
  Diagnostics all = {error({}, "a"), error({}, "b")};
  append_once(all, {error({}, "b"), warning({}, "b"), error({}, "c"), error({}, "c")});
  std::string text;
  for (const Diagnostic& each : all) text += to_string(each) + "|";
  EXPECT_EQ(text, "a|b|warning: b|c|");
}

}  // namespace
}  // namespace arsis
