// Every notion against its list, which was written by hand from the specification. Source: W3C
// MusicXML 4.0; what it leaves to players (grace notes, voices that meet on a key, the order of
// jumps and repeats) is common practice, no source.
#include <gtest/gtest.h>
#include <zip.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <utility>

#include "musicxml/notion.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;
using namespace test;  // NOLINT: the notions

class EachNotion : public testing::TestWithParam<std::string> {};

TEST_P(EachNotion, IsPlayedAsItsListSays) {
  const Notion listed = listed_notion(GetParam());
  const bool with_bars = !listed.bars.empty();
  const Notion played = played_notion(notions_folder() / (GetParam() + ".musicxml"));
  EXPECT_EQ(to_text(played, with_bars), to_text(listed, with_bars));
}

INSTANTIATE_TEST_SUITE_P(Of, EachNotion, testing::ValuesIn(notion_names()), test_name_of_notion);

TEST(Notions, AreManyAndEachHasAList) {
  EXPECT_GE(notion_names().size(), 45u);
  std::size_t lists = 0;
  for (const fs::directory_entry& entry : fs::directory_iterator(notions_folder())) {
    if (entry.path().extension() == ".txt") ++lists;
  }
  EXPECT_EQ(lists, notion_names().size());
  for (const std::string& name : notion_names()) {
    EXPECT_TRUE(listed_notion(name).faults.empty()) << name;
    EXPECT_FALSE(listed_notion(name).notes.empty()) << name;
  }
}

TEST(Notions, HaveListsWhoseErrorsAreFound) {
  struct Row {
    const char* text;
    double value;
  };
  for (const auto& [text, value] :
       {Row{"2", 2.0}, {"4/3", 4.0 / 3.0}, {"0", 0.0}, {"62.5", 62.5}}) {
    EXPECT_EQ(fraction_of(text), value);
  }
  for (const char* text : {"", "x", "1/", "1/0", "1-2", "1/2x"})
    EXPECT_NE(fraction_of(text), fraction_of(text)) << text;
  EXPECT_EQ(key_of("C4"), 60);
  EXPECT_EQ(key_of("Bb3"), 58);
  EXPECT_EQ(key_of("F#5"), 78);
  for (const char* text : {"", "C", "H4", " 4", "C#", "C44"}) EXPECT_EQ(key_of(text), -1) << text;
}

// A container as an exporter makes it: the index first, the score packed.
void pack(const fs::path& score, const fs::path& container) {
  std::ostringstream text;
  text << std::ifstream(score).rdbuf();
  const std::string bytes = text.str();
  const std::string index =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<container><rootfiles>"
      "<rootfile full-path=\"score.musicxml\" "
      "media-type=\"application/vnd.recordare.musicxml+xml\"/>"
      "</rootfiles></container>\n";
  zip_t* archive = zip_open(container.c_str(), ZIP_CREATE | ZIP_TRUNCATE, nullptr);
  ASSERT_NE(archive, nullptr);
  for (const auto& [name, content] :
       {std::pair<const char*, const std::string&>("META-INF/container.xml", index),
        {"score.musicxml", bytes}}) {
    zip_source_t* source = zip_source_buffer(archive, content.data(), content.size(), 0);
    ASSERT_GE(zip_file_add(archive, name, source, 0), 0);
  }
  ASSERT_EQ(zip_close(archive), 0);
}

TEST(Notions, ArePlayedTheSameOutOfACompressedContainer) {
  const fs::path container = fs::path(testing::TempDir()) / "arsis_notion.mxl";
  for (const std::string& name : {std::string("two-staves"), std::string("broken-backup")}) {
    const fs::path score = notions_folder() / (name + ".musicxml");
    pack(score, container);
    EXPECT_EQ(to_text(played_notion(container), true), to_text(played_notion(score), true));
    EXPECT_FALSE(played_notion(container).notes.empty()) << name;
  }
  fs::remove(container);
}

// Some programs export in UTF-16, which a byte order mark tells.
TEST(Notions, ArePlayedTheSameInUtf16) {
  const fs::path score = notions_folder() / "two-staves.musicxml";
  std::ostringstream text;
  text << std::ifstream(score).rdbuf();
  std::string plain = text.str();
  const std::size_t encoding = plain.find("UTF-8");
  ASSERT_NE(encoding, std::string::npos);
  plain.replace(encoding, 5, "UTF-16");
  std::string wide = "\xFF\xFE";
  for (const char c : plain) {  // a notion has ASCII letters alone
    wide += c;
    wide += '\0';
  }
  const fs::path copy = fs::path(testing::TempDir()) / "arsis_notion.musicxml";
  std::ofstream(copy, std::ios::binary) << wide;
  EXPECT_EQ(to_text(played_notion(copy), true), to_text(played_notion(score), true));
  EXPECT_FALSE(played_notion(copy).notes.empty());
  fs::remove(copy);
}

}  // namespace
}  // namespace arsis
