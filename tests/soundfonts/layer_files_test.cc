// Which file is which key of which layer.
#include "layer_files.h"

#include <gtest/gtest.h>

#include <string>

#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;

TEST(NoteName, GivesItsKey) {
  struct Row {
    const char* name;
    int key;
  };
  // Source: MIDI 1.0, where 60 is the middle C, with the usual octave numbers (C4).
  constexpr Row kRows[] = {{"A0v1.ogg", 21},  {"C4.wav", 60},     {"C8v16.ogg", 108},
                           {"D#1v8.ogg", 27}, {"F#7v2.ogg", 102}, {"Bb3-soft", 58},
                           {"Cb4", 59},       {"B#3", 60},        {"A4", 69},
                           {"E5", 76},        {"G9", 127}};
  for (const auto& [name, key] : kRows) EXPECT_EQ(key_of_note(name), key) << name;
  for (const char* name : {"", "C", "H4", "#4", " 4", "c4", "C-1", "C#", "C##4", "C11", "A9",
                           "C99999999999999999999", "rel1.ogg", "4C"}) {
    EXPECT_EQ(key_of_note(name), std::nullopt) << name;
  }
}

TEST(ReleaseName, CountsFromTheLowestKey) {
  EXPECT_EQ(key_of_release("rel1.ogg"), 21);
  EXPECT_EQ(key_of_release("rel88.ogg"), 108);
  for (const char* name :
       {"rel0.ogg", "rel.ogg", "rel-1", "rel108.ogg", "C4.ogg", "rel99999999999999"}) {
    EXPECT_EQ(key_of_release(name), std::nullopt) << name;
  }
}

class Layers : public ::testing::Test {
 protected:
  std::filesystem::path layer(const std::string& name, const std::vector<std::string>& files) {
    std::filesystem::create_directory(folder_.path() / name);
    for (const std::string& file : files) folder_.write(name + "/" + file, "");
    return folder_.path() / name;
  }
  std::string path(const std::string& name) const { return (folder_.path() / name).string(); }
  Folder folder_;
};

TEST_F(Layers, AreReadByKeyWhateverElseLiesThere) {
  const auto soft = layer("soft", {"C4v1.ogg", "A0v1.ogg", "README.md", "LICENSE"});
  const auto loud = layer("loud", {"A0.WAV", "C4.flac"});
  const Result<std::vector<KeyFiles>> layers = layer_files({soft, loud});
  ASSERT_TRUE(layers);
  ASSERT_EQ(layers->size(), 2u);
  EXPECT_EQ((*layers)[0], (KeyFiles{{21, soft / "A0v1.ogg"}, {60, soft / "C4v1.ogg"}}));
  EXPECT_EQ((*layers)[1], (KeyFiles{{21, loud / "A0.WAV"}, {60, loud / "C4.flac"}}));
}

TEST_F(Layers, AreRefusedWithAllThatIsWrong) {
  const auto good = layer("good", {"C4.ogg", "D4.ogg"});
  const auto odd = layer("odd", {"C4.ogg", "E4.ogg"});
  const auto wrong = layer("wrong", {"C9.ogg"});
  const auto nameless = layer("nameless", {"one.ogg"});
  const auto empty = layer("empty", {"README.md"});
  const Result<std::vector<KeyFiles>> layers =
      layer_files({good, odd, wrong, nameless, empty, folder_.path() / "none"});
  ASSERT_FALSE(layers);
  std::vector<std::string> messages;
  for (const Diagnostic& one : layers.diagnostics()) messages.push_back(to_string(one));
  const std::vector<std::string> expected = {
      path("odd") + ": key 62 is missing (D4.ogg); every layer needs the same keys",
      path("odd/E4.ogg") +
          ": key 64 is in this layer and not in the first; every layer needs the same keys",
      path("wrong/C9.ogg") + ": key 120 is none of a piano; A0 (21) to C8 (108) are taken",
      path("nameless/one.ogg") + ": the name says no key; begin it like 'C4' or 'D#1'",
      path("empty") + ": holds no sample files; .ogg, .flac and .wav are taken",
      path("none") + ": cannot be read (No such file or directory); name a folder of sample files"};
  EXPECT_EQ(messages, expected);
}

TEST_F(Layers, HaveOneFileForEachKey) {
  const Result<KeyFiles> files = key_files(layer("two", {"C#4.ogg", "Db4.ogg"}), key_of_note);
  ASSERT_FALSE(files);
  ASSERT_EQ(files.diagnostics().size(), 1u);
  EXPECT_EQ(files.diagnostics()[0].problem, "key 61 has two files");
}

TEST(LayerCount, IsBounded) {
  EXPECT_FALSE(layer_files({}));
  EXPECT_FALSE(layer_files(std::vector<std::filesystem::path>(kMostLayers + 1, "x")));
}

}  // namespace
}  // namespace arsis
