// SoundFonts as they are written, read back chunk by chunk.
// Source: SoundFont Technical Specification 2.04, chapters 3 to 8; section numbers beside the
// checks.
#include "sound/soundfont_writer.h"

#include <gtest/gtest.h>

#include <map>
#include <string>
#include <vector>

#include "sound/full_disk.h"
#include "sound/soundfont.h"
#include "sound/synthesizer.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;

unsigned word(const std::string& bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes.at(at)) |
         static_cast<unsigned>(static_cast<unsigned char>(bytes.at(at + 1))) << 8;
}
unsigned dword(const std::string& bytes, std::size_t at) {
  return word(bytes, at) | word(bytes, at + 2) << 16;
}

struct NamedChunk {
  std::string name;
  std::string body;
};

// The chunks that fill these bytes, each at an even place; a test fails where they do not.
std::vector<NamedChunk> chunks_of(const std::string& bytes) {
  std::vector<NamedChunk> chunks;
  std::size_t at = 0;
  while (at + 8 <= bytes.size()) {
    const std::size_t size = dword(bytes, at + 4);
    EXPECT_LE(at + 8 + size, bytes.size()) << bytes.substr(at, 4);
    if (at + 8 + size > bytes.size()) return chunks;
    chunks.push_back({bytes.substr(at, 4), bytes.substr(at + 8, size)});
    at += 8 + size + size % 2;
  }
  EXPECT_EQ(at, bytes.size());
  return chunks;
}

FontSample sample(std::size_t frames, int key) {
  FontSample made;
  made.name = "key " + std::to_string(key);
  made.key = key;
  for (std::size_t i = 0; i < frames; ++i) {
    made.frames.push_back(static_cast<std::int16_t>(1000 * (i % 2 == 0 ? 1 : -1) + key));
  }
  return made;
}

FontZone zone(std::size_t of, int lowest, int highest, int softest, int loudest) {
  FontZone made;
  made.sample = of;
  made.lowest_key = lowest;
  made.highest_key = highest;
  made.softest = softest;
  made.loudest = loudest;
  made.release = Seconds{1.0};
  return made;
}

class Written : public ::testing::Test {
 protected:
  void SetUp() override {
    Result<SoundFontWriter> writer =
        SoundFontWriter::create(path(), {"Test piano", "nobody's", "a comment"});
    ASSERT_TRUE(writer);
    ASSERT_TRUE(writer->add(sample(100, 40)));
    ASSERT_TRUE(writer->add(sample(201, 60)));
    ASSERT_TRUE(writer->add(sample(300, 80)));
    std::vector<FontZone> zones = {zone(0, 21, 50, 1, 63), zone(1, 51, 108, 64, 127),
                                   zone(2, 21, 108, 1, 127)};
    zones[0].pan = -0.3;
    zones[0].release = Seconds{0.25};
    zones[2].key_off = true;
    ASSERT_TRUE(writer->finish(zones, 3));
    bytes_ = folder_.read("test.sf2");
    for (const NamedChunk& list : chunks_of(bytes_.substr(12))) {
      ASSERT_EQ(list.name, "LIST");
      order_.push_back(list.body.substr(0, 4));
      for (const NamedChunk& chunk : chunks_of(list.body.substr(4))) {
        order_.push_back(chunk.name);
        chunks_[chunk.name] = chunk.body;
      }
    }
  }
  std::filesystem::path path() const { return folder_.path() / "test.sf2"; }

  Folder folder_;
  std::string bytes_;
  std::vector<std::string> order_;
  std::map<std::string, std::string> chunks_;
};

TEST_F(Written, IsARiffFormOfThreeListsInTheirOrder) {
  EXPECT_EQ(bytes_.substr(0, 4), "RIFF");
  EXPECT_EQ(dword(bytes_, 4), bytes_.size() - 8);
  EXPECT_EQ(bytes_.substr(8, 4), "sfbk");
  const std::vector<std::string> expected = {"INFO", "ifil", "isng", "INAM", "ICOP", "ICMT", "ISFT",
                                             "sdta", "smpl", "pdta", "phdr", "pbag", "pmod", "pgen",
                                             "inst", "ibag", "imod", "igen", "shdr"};
  EXPECT_EQ(order_, expected);
  EXPECT_EQ(soundfont_fault(path()), "");
}

TEST_F(Written, SaysWhatItIs) {
  EXPECT_EQ(chunks_["ifil"], std::string("\x02\0\x04\0", 4));  // 5.1: version 2.04
  EXPECT_EQ(chunks_["isng"], std::string("EMU8000\0", 8));     // 5.2
  EXPECT_EQ(chunks_["INAM"], std::string("Test piano\0\0", 12));
  EXPECT_EQ(chunks_["ICOP"], std::string("nobody's\0\0", 10));
  EXPECT_EQ(chunks_["ICMT"], std::string("a comment\0", 10));
}

TEST_F(Written, KeepsEverySampleWithSilenceAfterIt) {
  const std::string& smpl = chunks_["smpl"];
  const std::string& headers = chunks_["shdr"];
  constexpr std::size_t kRecord = 46;  // 7.10: bytes
  ASSERT_EQ(headers.size(), 4 * kRecord);
  ASSERT_EQ(smpl.size(), 2 * (100 + 201 + 300 + 3 * 46));
  constexpr int kKeys[] = {40, 60, 80};
  constexpr unsigned kFrames[] = {100, 201, 300};
  unsigned begin = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::string header = headers.substr(i * kRecord, kRecord);
    const unsigned end = begin + kFrames[i];
    EXPECT_STREQ(header.c_str(), ("key " + std::to_string(kKeys[i])).c_str());
    EXPECT_EQ(dword(header, 20), begin);
    EXPECT_EQ(dword(header, 24), end);
    const unsigned loop_begin = dword(header, 28);
    const unsigned loop_end = dword(header, 32);
    EXPECT_GE(loop_begin, begin + 8);      // 7.10: eight valid points before the loop
    EXPECT_LE(loop_end + 8, end);          // and after it
    EXPECT_GE(loop_end, loop_begin + 32);  // which has 32 at least
    EXPECT_EQ(dword(header, 36), 48'000u);
    EXPECT_EQ(static_cast<int>(header[40]), kKeys[i]);
    EXPECT_EQ(word(header, 42), 0u);  // no partner
    EXPECT_EQ(word(header, 44), 1u);  // mono
    for (unsigned frame = begin; frame < end; ++frame) {
      const int value = static_cast<std::int16_t>(word(smpl, 2 * frame));
      ASSERT_EQ(value, ((frame - begin) % 2 == 0 ? 1000 : -1000) + kKeys[i]) << frame;
    }
    EXPECT_EQ(smpl.substr(2 * end, 92), std::string(92, '\0'));  // 6.1: 46 zero-valued points
    begin = end + 46;
  }
  EXPECT_STREQ(headers.substr(3 * kRecord).c_str(), "EOS");
  EXPECT_EQ(dword(headers, 2 * kRecord + 32), dword(headers, 2 * kRecord + 20) + 72);  // key off
}

TEST_F(Written, HasAPresetForEachProgramOfTheOneInstrument) {
  const std::string& headers = chunks_["phdr"];
  constexpr std::size_t kRecord = 38;  // 7.2: bytes
  ASSERT_EQ(headers.size(), 4 * kRecord);
  for (unsigned program = 0; program < 3; ++program) {
    const std::string header = headers.substr(program * kRecord, kRecord);
    EXPECT_STREQ(header.c_str(), "Test piano");
    EXPECT_EQ(word(header, 20), program);
    EXPECT_EQ(word(header, 22), 0u);  // bank
    EXPECT_EQ(word(header, 24), program);
  }
  EXPECT_STREQ(headers.substr(3 * kRecord).c_str(), "EOP");
  EXPECT_EQ(word(headers, 3 * kRecord + 24), 3u);
  ASSERT_EQ(chunks_["pbag"].size(), 4u * 4);  // 7.3
  ASSERT_EQ(chunks_["pgen"].size(), 4u * 4);  // 7.5
  EXPECT_EQ(chunks_["pmod"], std::string(10, '\0'));
  for (unsigned i = 0; i < 4; ++i) EXPECT_EQ(word(chunks_["pbag"], 4 * i), i);
  for (unsigned i = 0; i < 3; ++i) {
    EXPECT_EQ(word(chunks_["pgen"], 4 * i), 41u);  // 8.1.2: instrument
    EXPECT_EQ(word(chunks_["pgen"], 4 * i + 2), 0u);
  }
  EXPECT_EQ(dword(chunks_["pgen"], 12), 0u);
}

using Generators = std::vector<std::pair<unsigned, unsigned>>;

TEST_F(Written, HasAnInstrumentWhoseZonesSayWhatWasAsked) {
  const std::string& instruments = chunks_["inst"];
  ASSERT_EQ(instruments.size(), 2u * 22);  // 7.6
  EXPECT_STREQ(instruments.c_str(), "Test piano");
  EXPECT_STREQ(instruments.substr(22).c_str(), "EOI");
  const std::string& bags = chunks_["ibag"];
  const std::string& generators = chunks_["igen"];
  ASSERT_EQ(bags.size(), 4u * 5);  // 7.7: the zone for all, three more, the end
  EXPECT_EQ(word(instruments, 42), 4u);
  EXPECT_EQ(generators.size(), 4u * (word(bags, 16) + 1));  // 7.9
  EXPECT_EQ(chunks_["imod"].size(), 10u * (word(bags, 18) + 1));
  std::vector<Generators> zones;
  for (unsigned i = 0; i < 4; ++i) {
    Generators zone;
    for (unsigned at = word(bags, 4 * i); at < word(bags, 4 * i + 4); ++at) {
      zone.emplace_back(word(generators, 4 * at), word(generators, 4 * at + 2));
    }
    zones.push_back(zone);
  }
  // 8.1.2: 54 sampleModes, 43 keyRange and 44 velRange first, 17 pan in tenths of a percent,
  // 38 releaseVolEnv in timecents (a quarter of a second is -2400), 53 sampleID last.
  const auto range = [](unsigned low, unsigned high) { return low | high << 8; };
  EXPECT_EQ(zones[0], (Generators{{54, 0}}));
  EXPECT_EQ(zones[1], (Generators{{43, range(21, 50)},
                                  {44, range(1, 63)},
                                  {17, 0x10000u - 150},
                                  {38, 0x10000u - 2400},
                                  {53, 0}}));
  EXPECT_EQ(zones[2],
            (Generators{{43, range(51, 108)}, {44, range(64, 127)}, {17, 0}, {38, 0}, {53, 1}}));
  EXPECT_EQ(
      zones[3],
      (Generators{{43, range(21, 108)}, {44, range(1, 127)}, {17, 0}, {38, 0}, {54, 3}, {53, 2}}));
  // 8.2.1: no filter follows the velocity, in any zone; the level of a release noise by 200 cB.
  const std::string& modulators = chunks_["imod"];
  EXPECT_EQ(word(modulators, 0), 0x0102u);
  EXPECT_EQ(word(modulators, 2), 8u);
  EXPECT_EQ(word(modulators, 4), 0u);
  EXPECT_EQ(word(bags, 6), 1u);
  EXPECT_EQ(word(modulators, 10), 0x0502u);
  EXPECT_EQ(word(modulators, 12), 48u);
  EXPECT_EQ(word(modulators, 14), 200u);
  EXPECT_EQ(modulators.substr(20), std::string(10, '\0'));
}

TEST_F(Written, IsLoadedByTheSynthesizer) { EXPECT_TRUE(Synthesizer::with(path(), {})); }

TEST(SoundFontWriter, KeepsNamesAndTextsWithinTheirFields) {
  const Folder folder;
  Result<SoundFontWriter> writer = SoundFontWriter::create(
      folder.path() / "long.sf2",
      {std::string(300, 'n'), std::string(300, 'c'), std::string(70'000, 't')});
  ASSERT_TRUE(writer);
  FontSample one = sample(48, 60);
  one.name = std::string(40, 's');
  ASSERT_TRUE(writer->add(one));
  ASSERT_TRUE(writer->finish(std::vector<FontZone>{zone(0, 0, 127, 0, 127)}, 1));
  const std::string bytes = folder.read("long.sf2");
  const auto lists = chunks_of(bytes.substr(12));
  ASSERT_EQ(lists.size(), 3u);
  for (const NamedChunk& chunk : chunks_of(lists[0].body.substr(4))) {
    // 5: 256 bytes with the zero at the end, a comment 65,536.
    EXPECT_LE(chunk.body.size(), chunk.name == "ICMT" ? 65'536u : 256u);
    EXPECT_EQ(chunk.body.size() % 2, 0u);
  }
  const auto tables = chunks_of(lists[2].body.substr(4));
  EXPECT_STREQ(tables.back().body.c_str(), std::string(19, 's').c_str());
  EXPECT_TRUE(Synthesizer::with(folder.path() / "long.sf2", {}));
}

TEST(SoundFontWriter, LeavesNothingWhereItIsNotFinished) {
  const Folder folder;
  {
    Result<SoundFontWriter> writer =
        SoundFontWriter::create(folder.path() / "x.sf2", {"x", "", ""});
    ASSERT_TRUE(writer);
    ASSERT_TRUE(writer->add(sample(100, 60)));
    EXPECT_EQ(folder.files().size(), 1u);
  }
  EXPECT_TRUE(folder.files().empty());
}

TEST(SoundFontWriter, SaysWhereThereIsNoRoom) {
  const Folder folder;
  {
    Result<SoundFontWriter> writer =
        SoundFontWriter::create(folder.path() / "x.sf2", {"x", "", ""});
    ASSERT_TRUE(writer);
    const test::FullDisk full(10'000);
    const Result<Done> added = writer->add(sample(100'000, 60));
    ASSERT_FALSE(added);
    EXPECT_EQ(to_string(added.diagnostics()[0]),
              (folder.path() / "x.sf2").string() +
                  ": cannot be written (File too large); make room for it");
  }
  EXPECT_TRUE(folder.files().empty());
}

TEST(SoundFontWriter, RefusesMoreZonesThanTheFormatCounts) {
  const Folder folder;
  Result<SoundFontWriter> writer = SoundFontWriter::create(folder.path() / "x.sf2", {"x", "", ""});
  ASSERT_TRUE(writer);
  ASSERT_TRUE(writer->add(sample(100, 60)));
  const Result<Done> done = writer->finish(std::vector<FontZone>(6001, zone(0, 0, 127, 0, 127)), 1);
  ASSERT_FALSE(done);
  EXPECT_EQ(done.diagnostics()[0].problem, "would have 6001 zones");
}

}  // namespace
}  // namespace arsis
