// The engraving library's process: found or not, bounded, its answers taken apart; then the command
// with it and without, and the library itself where it is there.
#include "page/engraver.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "page/engraved.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;
using test::Folder;
using test::kept;

constexpr EngravedUnits kWide{25'000.0};

std::string messages(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& each : diagnostics) text += to_string(each) + "\n";
  return text;
}

const std::string kHow =
    "; renderer/page/engraver/install.sh fetches it with npm; --staff off draws the notes "
    "plainly\n";

TEST(EngraverSearch, TakesTheEnvironmentsFolderAndNoOther) {
  const Folder folder;
  fs::create_directories(folder.path() / "here/node_modules/verovio");
  folder.write("here/node_modules/verovio/package.json", "{}");
  const auto found = find_engraver({(folder.path() / "here").string(), folder.path()});
  ASSERT_TRUE(found);
  EXPECT_EQ(found->folder, folder.path() / "here");
  EXPECT_EQ(messages(find_engraver({"nowhere", folder.path()}).diagnostics()),
            "engraved staff: ARSIS_ENGRAVER names 'nowhere', where no engraving library is" + kHow);
  const std::string none = "engraved staff: the engraving library is not here" + kHow;
  EXPECT_EQ(messages(find_engraver({"", folder.path()}).diagnostics()), none);
  EXPECT_EQ(messages(find_engraver({"", ""}).diagnostics()), none);
}

TEST(EngraversAnswer, IsReadToTheByte) {
  const auto read = read_answer("ready\nsvg 4\na\nb\nnone 0\nsvg 1\nc", 3);
  ASSERT_TRUE(read);
  EXPECT_EQ(*read, (std::vector<std::string>{"a\nb\n", "", "c"}));
}

TEST(EngraversAnswer, IsRefusedWhereItIsNone) {
  const std::string failed = "the engraving library has failed";
  const std::string absent = "the engraving library does not start";
  for (const auto& [answer, problem] : std::vector<std::pair<std::string, std::string>>{
           {"", absent},
           {"missing\n", absent},
           {"ready", failed},
           {"ready\n", failed},
           {"ready\nsvg 5\nabc", failed},
           {"ready\nsvg -1\nabc", failed},
           {"ready\nsvg 0\n", failed},
           {"ready\nsvg 99999999999999999999\nabc", failed},
           {"ready\nsvg x\nabc", failed},
           {"ready\nelse", failed}}) {
    const auto read = read_answer(answer, 1);
    ASSERT_FALSE(read) << answer;
    EXPECT_EQ(read.diagnostics().front().problem, problem) << answer;
  }
}

// A program in node's place, with this script.
Engraver other(const Folder& folder, const std::string& script) {
  folder.write("node", "#!/bin/sh\n" + script);
  fs::permissions(folder.path() / "node", fs::perms::owner_all);
  return {folder.path(), (folder.path() / "node").string()};
}

TEST(Engraver, IsAskedForAllExcerptsAtOnce) {
  const Folder folder;
  const Engraver engraver = other(folder, "cat >'" + (folder.path() / "asked").string() +
                                              "'; printf 'ready\\nnone 0\\nnone 0\\n'");
  const std::vector<EngravingTask> tasks = {{"<a/>", kWide}, {"<bcd>\n</bcd>", kWide / 2.0}};
  const auto pictures = engrave(engraver, tasks);
  ASSERT_TRUE(pictures) << messages(pictures.diagnostics());
  EXPECT_EQ(*pictures, (std::vector<std::string>{"", ""}));
  EXPECT_EQ(folder.read("asked"), "4 2500\n<a/>12 1250\n<bcd>\n</bcd>");
}

// An echo: each picture is its excerpt.
const std::string kEcho =
    "echo ready; while read length width; do read -r xml; printf 'svg %d\\n%s\\n' \"$length\" "
    "\"$xml\"; done";

TEST(Engraver, KeepsTheOrderOfMany) {
  const Folder folder;
  std::vector<EngravingTask> tasks;
  std::vector<std::string> expected;
  for (int i = 0; i < 100; ++i) {
    tasks.push_back({"<excerpt n='" + std::to_string(i) + "'/>\n", kWide});
    expected.push_back(tasks.back().musicxml);
  }
  const auto pictures = engrave(other(folder, kEcho), tasks);
  ASSERT_TRUE(pictures) << messages(pictures.diagnostics());
  EXPECT_EQ(*pictures, expected);
  const auto failed = engrave(other(folder, "echo ready; exit 1"), tasks);
  EXPECT_EQ(messages(failed.diagnostics()),
            "engraved staff: the engraving library has failed; --staff off draws the notes "
            "plainly\n");
}

TEST(Engraver, IsGivenUpWhereItFails) {
  const Folder folder;
  const std::vector<EngravingTask> tasks = {{"<a/>", kWide}};
  const auto problem = [&](Engraver engraver, std::chrono::milliseconds patience) {
    engraver.patience = patience;
    const auto pictures = engrave(engraver, tasks);
    return pictures ? "none" : pictures.diagnostics().front().problem;
  };
  using namespace std::chrono_literals;
  EXPECT_EQ(problem(other(folder, "exec sleep 60"), 100ms), "engraving takes more than 0.1 s");
  EXPECT_EQ(problem(other(folder, "exit 1"), 60s), "the engraving library does not start");
  EXPECT_EQ(problem(other(folder, "echo ready; exit 1"), 60s), "the engraving library has failed");
  EXPECT_EQ(problem({folder.path(), "no-such-node"}, 60s),
            "node is not here, which the engraving library runs in");
}

class PageCommand : public ::testing::Test {
 protected:
  void SetUp() override { folder_.write("piece.musicxml", kept("piece.musicxml")); }

  std::string warning(const std::string& environment, const std::string& options = "") {
    const test::Ran ran = folder_.arsis("page piece.musicxml -o piece.svg " + options, environment);
    EXPECT_EQ(ran.code, 0) << ran.err;
    std::string rest = ran.err;
    const std::size_t drafted = rest.find('\n') + 1;  // that a plan is drafted
    return rest.substr(drafted);
  }

  Folder folder_;
};

TEST_F(PageCommand, DrawsPlainlyWhereThereIsNoLibraryAndSaysSoOnce) {
  EXPECT_EQ(warning("ARSIS_ENGRAVER=/nowhere"),
            "engraved staff: warning: ARSIS_ENGRAVER names '/nowhere', where no engraving library "
            "is" +
                kHow);
  EXPECT_NE(folder_.read("piece.svg").find("class=\"head"), std::string::npos);
  EXPECT_EQ(folder_.read("piece.svg").find("class=\"staff\""), std::string::npos);
  EXPECT_EQ(warning("ARSIS_ENGRAVER=/nowhere", "--staff off"), "");
  EXPECT_EQ(folder_.files(), (std::vector<std::string>{"piece.musicxml", "piece.svg"}));
}

TEST_F(PageCommand, KnowsOnAndOffForTheStaff) {
  const test::Ran ran = folder_.arsis("page piece.musicxml -o piece.svg --staff maybe");
  EXPECT_EQ(ran.code, 2);
  EXPECT_NE(ran.err.find("--staff cannot be 'maybe'; write on or off"), std::string::npos);
}

// The library itself, where ARSIS_ENGRAVER names it, as tests/run.sh does where npm can fetch it.
class LiveStaff : public ::testing::Test {
 protected:
  void SetUp() override {
    const char* environment = std::getenv("ARSIS_ENGRAVER");
    if (environment == nullptr) GTEST_SKIP() << "ARSIS_ENGRAVER is not set";
    const auto found = find_engraver({environment, {}});
    ASSERT_TRUE(found) << messages(found.diagnostics());
    engraver_ = *found;
  }

  Engraver engraver_;
};

TEST_F(LiveStaff, IsTheOneThatIsKept) {
  const std::vector<EngravingTask> tasks = {{kept("first.musicxml"), kWide},
                                            {kept("second.musicxml"), kWide}};
  const auto pictures = engrave(engraver_, tasks);
  ASSERT_TRUE(pictures) << messages(pictures.diagnostics());
  for (std::size_t i = 0; i < tasks.size(); ++i) {
    const auto now = read_engraving((*pictures)[i], "g", test::excerpt_ids());
    const auto then = read_engraving(test::answers()[i], "g", test::excerpt_ids());
    ASSERT_TRUE(now);
    EXPECT_EQ(now->drawing, then->drawing);
  }
}

// Every note that is played is found in the engraving, by its id and measure.
TEST_F(LiveStaff, HasEveryNoteOfEveryNotion) {
  std::vector<fs::path> files;
  for (const auto& each : fs::directory_iterator(ARSIS_SOURCE_DIR "/tests/musicxml/notions")) {
    if (each.path().extension() == ".musicxml") files.push_back(each.path());
  }
  files.emplace_back(ARSIS_SOURCE_DIR "/examples/lantern-song.musicxml");
  std::ranges::sort(files);
  std::vector<PrintedScore> scores;
  std::vector<ExcerptWriter> writers;
  std::vector<EngravingTask> tasks;
  for (const fs::path& file : files) {
    auto score = read_musicxml(file);
    auto writer = ExcerptWriter::read(file);
    if (!score || !writer) continue;
    PageExcerptRequest request;
    for (const PrintedMeasure& measure : score->printed.measures) {
      request.measures.push_back(measure.index);
    }
    const auto texts = writer->excerpts(std::vector<PageExcerptRequest>{request});
    ASSERT_TRUE(texts) << file;
    tasks.push_back({texts->front(), kWide});
    scores.push_back(*std::move(score));
    writers.push_back(*std::move(writer));
  }
  const auto pictures = engrave(engraver_, tasks);
  ASSERT_TRUE(pictures) << messages(pictures.diagnostics());
  for (std::size_t i = 0; i < scores.size(); ++i) {
    SCOPED_TRACE(scores[i].score.file);
    const auto ids = [&](std::string_view id) -> std::optional<EngravedId> {
      const auto note = writers[i].note(id);
      if (!note) return std::nullopt;
      return EngravedId{note->measure, note->id};
    };
    const auto engraving = read_engraving((*pictures)[i], "g", ids);
    EXPECT_TRUE(engraving);
    if (!engraving) continue;
    EXPECT_EQ(engraving->measures.size(), scores[i].printed.measures.size());
    std::vector<std::string> found;
    for (const EngravedNote& note : engraving->notes) found.push_back(note.id);
    std::ranges::sort(found);
    for (const std::string& id : scores[i].printed.note_ids) {
      EXPECT_TRUE(std::ranges::binary_search(found, id)) << id;
    }
  }
  EXPECT_GT(scores.size(), 150u);
}

TEST_F(LiveStaff, StandsInThePageOfAScore) {
  const Folder folder;
  folder.write("piece.musicxml", kept("piece.musicxml"));
  const test::Ran ran = folder.arsis("page piece.musicxml -o piece.svg",
                                     "ARSIS_ENGRAVER=" + engraver_.folder.string());
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err.find("engraved"), std::string::npos) << ran.err;
  EXPECT_NE(folder.read("piece.svg").find("class=\"staff\""), std::string::npos);
}

}  // namespace
}  // namespace arsis
