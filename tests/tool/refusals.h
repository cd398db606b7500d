// Command lines that are refused, row by row.
#pragma once

#include <gtest/gtest.h>

#include <span>
#include <string>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis::test {

struct Refusal {
  std::string words;
  int code;
  std::string said;  // all that is said; empty: something, whatever it is
};

// Each is refused with its words, on the error's stream alone, and leaves the folder as it was.
inline void expect_refused(const Folder& folder, std::span<const Refusal> refusals) {
  const std::vector<std::string> before = folder.files();
  for (const Refusal& row : refusals) {
    SCOPED_TRACE(row.words);
    const Ran ran = folder.arsis(row.words);
    EXPECT_EQ(ran.code, row.code);
    EXPECT_FALSE(ran.err.empty());
    if (!row.said.empty()) {
      EXPECT_EQ(ran.err, row.said);
    }
    EXPECT_EQ(ran.out, "");
    EXPECT_EQ(folder.files(), before);
  }
}

}  // namespace arsis::test
