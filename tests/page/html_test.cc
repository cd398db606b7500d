// Texts and bytes in a page of HTML.
#include "page/html.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace arsis {
namespace {

std::string base64_of(const std::string& text) {
  std::string coded;
  add_base64(coded, std::vector<std::uint8_t>(text.begin(), text.end()));
  return coded;
}

struct CodeRow {
  const char* text;
  const char* coded;
};

// Source: RFC 4648 section 10, test vectors.
constexpr CodeRow kVectors[] = {
    {"", ""},
    {"f", "Zg=="},
    {"fo", "Zm8="},
    {"foo", "Zm9v"},
    {"foob", "Zm9vYg=="},
    {"fooba", "Zm9vYmE="},
    {"foobar", "Zm9vYmFy"},
};

TEST(Base64, IsThatOfTheStandard) {
  for (const auto& [text, coded] : kVectors) EXPECT_EQ(base64_of(text), coded) << text;
  EXPECT_EQ(base64_of("\xFB\xFF\xBF"), "+/+/");
}

TEST(Base64, IsAddedToWhatIsThere) {
  std::string text = "data:";
  add_base64(text, std::vector<std::uint8_t>{0, 0, 0});
  EXPECT_EQ(text, "data:AAAA");
}

TEST(ScriptSafe, LeavesNoWayOutOfTheScript) {
  EXPECT_EQ(script_safe(R"({"a":"</script><!--","b":1})"),
            R"({"a":"\u003c/script>\u003c!--","b":1})");
}

// Source: W3C Content Security Policy Level 3, the example of "hash-source": the sum of
// alert('Hello, world.'); as hexadecimal digits by sha256sum.
TEST(HashSource, IsTheStandardsOwnExample) {
  EXPECT_EQ(hash_source("ab39cb72c44ec7818008fd9d9b4502282cc21be1e267582eaba6590e86ff4e78"),
            "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='");
}

}  // namespace
}  // namespace arsis
