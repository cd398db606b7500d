// Files that are broken or made to break a reader: each is refused or read with a warning that
// names its line, in bounded memory, and nothing outside of it is read.
#include <gtest/gtest.h>
#include <zip.h>

#include <filesystem>
#include <fstream>

#include "musicxml/container.h"
#include "musicxml/score_text.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;
using namespace test;  // NOLINT: the notation of the tables

// The first message, or "" where there is none, after the notes that are played.
std::string outcome(const std::string& text) {
  const Result<PrintedScore> read = played_of(text);
  const std::string messages = messages_of(read.diagnostics());
  return (read ? notes_of(read->score) + "\n" : std::string()) + messages;
}

std::string duration(const std::string& value) {
  return "<note><pitch><step>C</step><octave>5</octave></pitch><duration>" + value +
         "</duration></note>\n";
}

TEST(HostileXml, HasNoEntitiesOfItsOwn) {
  const std::string bomb =
      "<?xml version='1.0'?>\n<!DOCTYPE score-partwise [<!ENTITY a 'aaaaaaaaaa'>\n"
      "<!ENTITY b '&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;'>\n<!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;'>]>\n"
      "<score-partwise><part-list><score-part id='P1'><part-name>&c;</part-name></score-part>"
      "</part-list><part id='P1'><measure number='1'>" +
      kFour + n("C5", 4) + "</measure></part></score-partwise>";
  const Result<PrintedScore> read = played_of(bomb);
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.parts[0].name, "&c;");  // as it stands
  std::string outside = bomb;
  outside.replace(outside.find("<!ENTITY c"), 10,
                  "<!ENTITY c SYSTEM 'file:///etc/hostname'> <!ENTITY d");
  const Result<PrintedScore> other = played_of(outside);
  ASSERT_TRUE(other);
  EXPECT_EQ(other->score.parts[0].name, "&c;");
}

// XML 1.0, 4.3.3 and appendix F.
TEST(HostileXml, IsReadInTheEncodingThatItDeclares) {
  std::string text = score_text({"\n\n" + attributes(0) + kFour + n("C5", 4)});
  const std::string line = "x.musicxml:8:14";
  text.replace(text.find("Piano"), 5, "Fl\xF6te");
  for (const char* encoding : {"ISO-8859-1", "iso-8859-1", "windows-1252"}) {
    const std::string declared = "<?xml version='1.0' encoding='" + std::string(encoding) + "'?>";
    const Result<PrintedScore> read = played_of(declared + text.substr(text.find("?>") + 2));
    ASSERT_TRUE(read);
    EXPECT_EQ(read->score.parts[0].name, "Fl\xC3\xB6te") << encoding;
    EXPECT_TRUE(messages_of(read.diagnostics()).starts_with(line));
  }
  for (const bool little : {true, false}) {
    std::string wide = little ? "\xFF\xFE" : "\xFE\xFF";
    for (const char c : text) wide += little ? std::string{c, '\0'} : std::string{'\0', c};
    const Result<PrintedScore> read = played_of(wide);
    ASSERT_TRUE(read);
    EXPECT_EQ(read->score.parts[0].name, "Fl\xC3\xB6te") << little;
    EXPECT_TRUE(messages_of(read.diagnostics()).starts_with(line))
        << messages_of(read.diagnostics());
  }
}

TEST(HostileXml, IsReadWithAWarningOrRefusedWithItsLine) {
  struct Row {
    const char* what;
    std::string text;
    const char* outcome;
  };
  const std::vector<Row> rows = {
      {"a duration beyond numbers", score_text({kFour + duration("1e999") + n("D5", 1)}),
       "0:C5/0.125 0.125:D5/0.875\nx.musicxml:7:55: warning: a duration is no number of 0 or more; "
       "it is taken as 0\n"
       "x.musicxml:7:2: warning: a note has no duration; it is taken as a grace note\n"},
      {"a duration longer than any note", score_text({kFour + duration("99999999999999999999")}),
       "0:C5/10000\nx.musicxml:7:55: warning: a duration is longer than any note; it is cut\n"},
      {"a duration below 0", score_text({kFour + duration("-4") + n("D5", 4)}),
       "0:C5/0.125 0.125:D5/3.875\n"
       "x.musicxml:7:55: warning: a duration is no number of 0 or more; it is taken as 0\n"
       "x.musicxml:7:2: warning: a note has no duration; it is taken as a grace note\n"},
      {"no divisions", score_text({time(4, 4) + n("C5", 4)}),
       "0:C5/4\nx.musicxml:6:108: warning: there is a duration before any 'divisions'; a quarter "
       "note is taken as one division\n"},
      {"divisions of 0", score_text({attributes(0) + attributes(2) + n("C5", 4)}),
       "0:C5/2\nx.musicxml:6:14: warning: 'divisions' is no whole number above 0; the one before "
       "it goes on\n"},
      {"divisions below 0", score_text({attributes(-4) + attributes(2) + n("C5", 4)}),
       "0:C5/2\nx.musicxml:6:14: warning: 'divisions' is no whole number above 0; the one before "
       "it goes on\n"},
      {"an offset far below 0",
       score_text({kFour +
                   "<direction><direction-type><dynamics><p/></dynamics></direction-type>"
                   "<offset>-99999999</offset></direction>" +
                   n("C5", 4)}),
       "0:C5/4\n"},
      {"a backup over everything",
       score_text({kFour + n("C5", 4) + backup(999'999'999) + n("D5", 4)}),
       "0:C5/4 0:D5/4\n"
       "x.musicxml:8:2: warning: a 'backup' goes past the measure's beginning; it is taken as "
       "going to the beginning\n"
       "x.musicxml:8:10: warning: a duration is longer than any note; it is cut\n"},
      {"a key beyond MIDI",
       score_text({kFour + n("C5", 2) +
                   "<note><pitch><step>C</step><octave>99</octave></pitch>"
                   "<duration>2</duration></note>"}),
       "0:C5/2\nx.musicxml:8:8: warning: a note lies beyond the keys of MIDI; it is left out\n"},
      {"a beat of no kind", score_text({attributes(1, time(4, 3)) + n("C5", 4)}),
       "0:C5/4\nx.musicxml:6:38: warning: a time signature is none; the one before it goes on\n"},
      {"an unknown dynamic",
       score_text({kFour +
                   "<direction><direction-type><dynamics><loud/></dynamics>"
                   "</direction-type></direction>" +
                   n("C5", 4)}),
       "0:C5/4\nx.musicxml:7:39: warning: a dynamic is unknown; it is left out\n"},
      {"bytes that are none", std::string("\0\x01\xFF\xFE<", 5),
       "x.musicxml:1:6: is no XML from here on: No document element found; export the score "
       "again\n"},
      {"cut off", score_text({kFour + n("C5", 4)}).substr(0, 300),
       "x.musicxml:7:23: is no XML from here on: Start-end tags mismatch; export the score "
       "again\n"},
  };
  for (const Row& row : rows) EXPECT_EQ(outcome(row.text), row.outcome) << row.what;
}

TEST(HostileXml, IsNoDeeperThanAnyScore) {
  std::string deep = "<score-partwise>";
  for (int i = 0; i < 200'000; ++i) deep += "\n<part>";
  for (int i = 0; i < 200'000; ++i) deep += "</part>";
  deep += "</score-partwise>";
  EXPECT_EQ(outcome(deep),
            "x.musicxml:65:2: is nested too deep for a score; export the score again\n");
}

// Small elements take sixteen times their text in memory.
TEST(HostileXml, IsNoLargerThanAnyScore) {
  std::string many = "<score-partwise>";
  many.reserve(4 * XmlDocument::kMostMarkup + 100);
  for (std::size_t i = 0; i <= XmlDocument::kMostMarkup; ++i) many += "<a/>";
  many += "</score-partwise>";
  EXPECT_EQ(outcome(many), "x.musicxml: has more elements than any score; 16 million are read\n");
}

TEST(HostileXml, DoesNotPlayRepeatsForEver) {
  const std::string bar = "<barline><repeat direction='forward'/></barline>" + n("C5", 4) +
                          "<barline><repeat direction='backward' times='2000000000'/></barline>";
  const Result<PrintedScore> read = played_of(score_text({kFour + bar, bar}));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.bars.all().size(), 64u);  // 32 times each
}

struct Entry {
  std::string name;
  std::string content;
};

Bytes container_of(const std::vector<Entry>& entries) {
  const fs::path path = fs::path(testing::TempDir()) / "arsis_hostile.mxl";
  zip_t* archive = zip_open(path.c_str(), ZIP_CREATE | ZIP_TRUNCATE, nullptr);
  for (const Entry& entry : entries) {
    zip_source_t* source =
        zip_source_buffer(archive, entry.content.data(), entry.content.size(), 0);
    EXPECT_GE(zip_file_add(archive, entry.name.c_str(), source, 0), 0);
  }
  EXPECT_EQ(zip_close(archive), 0);
  std::ifstream file(path, std::ios::binary);
  Bytes bytes((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  fs::remove(path);
  return bytes;
}

std::string index_of(const std::string& name) {
  return "<container><rootfiles><rootfile full-path='" + name + "'/></rootfiles></container>";
}

TEST(HostileContainer, IsRefusedOrReadWithAWarning) {
  const std::string score = score_text({kFour + n("C5", 4)});
  Bytes damaged = container_of({{"META-INF/container.xml", index_of("a.xml")}, {"a.xml", score}});
  damaged.resize(damaged.size() / 2);
  struct Row {
    const char* what;
    Bytes bytes;
    const char* message;
  };
  const std::string missing =
      "x.mxl: its score 'b.xml' is missing, damaged, or larger than 128 MB; export the score "
      "again, or as .musicxml\n";
  const std::vector<Row> rows = {
      {"cut off", damaged,
       "x.mxl: is a damaged container; export the score again, or as .musicxml\n"},
      {"no more than its first letters",
       {'P', 'K'},
       "x.mxl: is a damaged container; export the score again, or as .musicxml\n"},
      {"without a score", container_of({{"read.me", "hello"}}),
       "x.mxl: is a container without a score in it; export the score again\n"},
      {"whose index names nothing in it",
       container_of({{"META-INF/container.xml", index_of("b.xml")}, {"a.xml", score}}),
       missing.c_str()},
      {"without an index", container_of({{"a.xml", score}}),
       "x.mxl: warning: does not say which of its files is the score; 'a.xml' is taken\n"},
      {"whose index leads out of it",
       container_of({{"META-INF/container.xml", index_of("../../etc/hostname")}}),
       "x.mxl: its score '../../etc/hostname' is missing, damaged, or larger than 128 MB; export "
       "the score again, or as .musicxml\n"},
      // 200 MB of blanks are 200 KB packed.
      {"that unpacks to more than is read",
       container_of({{"META-INF/container.xml", index_of("b.xml")},
                     {"b.xml", std::string(200u << 20, ' ')}}),
       missing.c_str()},
  };
  for (const Row& row : rows) {
    const Result<std::string> text = musicxml_text_of(row.bytes, "x.mxl");
    EXPECT_EQ(messages_of(text.diagnostics()), row.message) << row.what;
  }
}

}  // namespace
}  // namespace arsis
