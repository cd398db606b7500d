#include "sound/soundfont_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>

#include "base/files.h"
#include "sound/riff_chunk.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

// Source: 7.10 (zero-valued points after a sample), 8.1.2 (generators), 8.2.1 (modulators).
constexpr std::size_t kGuardFrames = 46;
constexpr std::size_t kFewestFrames = 48;
constexpr std::uint32_t kLoopMargin = 8;  // valid points that a loop needs on either side
constexpr std::uint32_t kKeyOffLoopEnd = 72;
constexpr std::size_t kMostZones = 6'000;  // generators are counted in 16 bits, up to 8 a zone
constexpr std::uint64_t kMostBytes = 0xF000'0000;  // of samples: RIFF counts in 32 bits
constexpr std::size_t kNameLength = 20;
constexpr std::size_t kLongestLine = 255;
constexpr std::size_t kLongestComment = 65'000;

enum Generator : std::uint16_t {
  kFilterCutoff = 8,
  kPan = 17,
  kReleaseVolume = 38,
  kInstrument = 41,
  kKeyRange = 43,
  kVelocityRange = 44,
  kAttenuation = 48,
  kSampleId = 53,
  kSampleModes = 54,
};
constexpr std::uint16_t kPlainSample = 0;
constexpr std::uint16_t kLoopUntilRelease = 3;
constexpr std::uint16_t kMonoSample = 1;
// Velocity, unipolar, falling: concave (8.4.1, to level) and linear (8.4.2, to brightness).
constexpr std::uint16_t kVelocityToLevel = 0x0502;
constexpr std::uint16_t kVelocityToFilter = 0x0102;

// Time on the format's logarithmic scale: 1,200 steps an octave, 0 for a second.
std::uint16_t timecents(Seconds time) {
  const double cents = 1200.0 * std::log2(time.value);
  const double bounded = std::clamp(cents, -12'000.0, 8'000.0);
  return static_cast<std::uint16_t>(static_cast<std::int16_t>(std::lround(bounded)));
}

std::uint16_t range(int low, int high) { return static_cast<std::uint16_t>(low | high << 8); }

RiffChunk info(const SoundFontText& text) {
  RiffChunk list("LIST", "INFO");
  list.chunk(RiffChunk("ifil").word(2).word(4));
  list.chunk(RiffChunk("isng").zero_ended("EMU8000"));
  list.chunk(RiffChunk("INAM").zero_ended(text.name.substr(0, kLongestLine)));
  if (!text.copyright.empty()) {
    list.chunk(RiffChunk("ICOP").zero_ended(text.copyright.substr(0, kLongestLine)));
  }
  if (!text.comment.empty()) {
    list.chunk(RiffChunk("ICMT").zero_ended(text.comment.substr(0, kLongestComment)));
  }
  list.chunk(RiffChunk("ISFT").zero_ended("Arsis"));
  return list;
}

// Where a sample lies in the font, in frames from the first.
struct Header {
  FontSample sample;  // without its frames
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
};

// The instrument's zones: their bags, generators and modulators, counted as they are added.
class Zones {
 public:
  void begin() {
    bags_.word(generators_).word(modulators_);
    ++count_;
  }
  void generator(Generator kind, std::uint16_t amount) {
    generator_list_.word(kind).word(amount);
    ++generators_;
  }
  void modulator(std::uint16_t source, Generator destination, std::int16_t amount) {
    modulator_list_.word(source).word(destination).word(static_cast<std::uint16_t>(amount));
    modulator_list_.word(0).word(0);
    ++modulators_;
  }
  std::uint16_t count() const { return count_; }
  // With the records that end each list.
  void write_to(RiffChunk& list) {
    bags_.word(generators_).word(modulators_);
    modulator_list_.word(0).word(0).word(0).word(0).word(0);
    generator_list_.word(0).word(0);
    list.chunk(bags_).chunk(modulator_list_).chunk(generator_list_);
  }

 private:
  RiffChunk bags_{"ibag"};
  RiffChunk modulator_list_{"imod"};
  RiffChunk generator_list_{"igen"};
  std::uint16_t generators_ = 0;
  std::uint16_t modulators_ = 0;
  std::uint16_t count_ = 0;
};

void add_zone(Zones& zones, const FontZone& zone) {
  zones.begin();
  zones.generator(kKeyRange, range(zone.lowest_key, zone.highest_key));
  zones.generator(kVelocityRange, range(zone.softest, zone.loudest));
  const long pan = std::lround(500.0 * std::clamp(zone.pan, -1.0, 1.0));
  zones.generator(kPan, static_cast<std::uint16_t>(static_cast<std::int16_t>(pan)));
  zones.generator(kReleaseVolume, timecents(zone.release));
  if (zone.key_off) {
    zones.generator(kSampleModes, kLoopUntilRelease);
    // In the place of the format's 960: it replaces what has the same source and destination.
    const auto range_cb = static_cast<std::int16_t>(std::lround(kKeyOffRange.value * 10.0));
    zones.modulator(kVelocityToLevel, kAttenuation, range_cb);
  }
  zones.generator(kSampleId, static_cast<std::uint16_t>(zone.sample));  // the last, by the format
}

RiffChunk presets(const std::string& name, int programs) {
  RiffChunk headers("phdr");
  RiffChunk bags("pbag");
  RiffChunk generators("pgen");
  for (int program = 0; program <= programs; ++program) {  // the last one is the end record
    const bool end = program == programs;
    headers.name_field(end ? "EOP" : name, kNameLength);
    headers.word(static_cast<std::uint16_t>(end ? 0 : program)).word(0);
    headers.word(static_cast<std::uint16_t>(program)).dword(0).dword(0).dword(0);
    bags.word(static_cast<std::uint16_t>(program)).word(0);
    generators.word(end ? 0 : kInstrument).word(0);
  }
  RiffChunk list("LIST", "pdta");
  list.chunk(headers).chunk(bags);
  list.chunk(RiffChunk("pmod").word(0).word(0).word(0).word(0).word(0));
  return list.chunk(generators);
}

void add_instrument(RiffChunk& list, const std::string& name, std::span<const FontZone> zones) {
  Zones written;
  // For all zones that follow: the recorded layers alone brighten, no filter darkens them again.
  written.begin();
  written.generator(kSampleModes, kPlainSample);
  written.modulator(kVelocityToFilter, kFilterCutoff, 0);
  for (const FontZone& zone : zones) add_zone(written, zone);
  list.chunk(RiffChunk("inst")
                 .name_field(name, kNameLength)
                 .word(0)
                 .name_field("EOI", kNameLength)
                 .word(written.count()));
  written.write_to(list);
}

RiffChunk sample_headers(std::span<const Header> headers, std::span<const FontZone> zones) {
  RiffChunk list("shdr");
  for (std::size_t i = 0; i < headers.size(); ++i) {
    const Header& header = headers[i];
    const bool key_off = std::ranges::any_of(
        zones, [i](const FontZone& zone) { return zone.key_off && zone.sample == i; });
    list.name_field(header.sample.name, kNameLength).dword(header.begin).dword(header.end);
    list.dword(header.begin + kLoopMargin);
    list.dword(key_off ? header.begin + kKeyOffLoopEnd : header.end - kLoopMargin);
    list.dword(static_cast<std::uint32_t>(header.sample.sample_rate));
    list.byte(static_cast<std::uint8_t>(header.sample.key)).byte(0).word(0).word(kMonoSample);
  }
  list.name_field("EOS", kNameLength).dword(0).dword(0).dword(0).dword(0).dword(0);
  return list.byte(0).byte(0).word(0).word(0);
}

}  // namespace

struct SoundFontWriter::State {
  FileAside aside;
  fs::path target;
  std::string name;
  std::ofstream file = {};
  std::uint64_t sample_list = 0;  // place of the LIST that holds the samples
  std::uint64_t frames = 0;       // written so far, with the silence after each sample
  std::vector<Header> headers = {};

  void put(std::string_view bytes) {
    file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  void put_size(std::uint64_t place, std::uint64_t size) {
    file.seekp(static_cast<std::streamoff>(place));
    put(RiffChunk("").dword(static_cast<std::uint32_t>(size)).body());
  }
  Diagnostics failed() const {
    return fail({.file = target.string()},
                fmt::format("cannot be written ({})", std::strerror(errno)), "make room for it");
  }
};

SoundFontWriter::SoundFontWriter(std::unique_ptr<State> state) : state_(std::move(state)) {}
SoundFontWriter::SoundFontWriter(SoundFontWriter&&) noexcept = default;
SoundFontWriter::~SoundFontWriter() = default;

Result<SoundFontWriter> SoundFontWriter::create(const fs::path& target, const SoundFontText& text) {
  assert(!text.name.empty());
  Result<FileAside> aside = FileAside::beside(target);
  if (!aside) return aside.diagnostics();
  auto state = std::make_unique<State>(State{*std::move(aside), target, text.name});
  errno = 0;
  state->file.open(state->aside.path(), std::ios::binary | std::ios::trunc);
  const std::string head = RiffChunk("RIFF", "sfbk").written() + info(text).written();
  state->sample_list = head.size();
  state->put(head + RiffChunk("LIST", "sdta").chunk(RiffChunk("smpl")).written());
  if (!state->file) return state->failed();
  return SoundFontWriter(std::move(state));
}

Result<Done> SoundFontWriter::add(const FontSample& sample) {
  assert(sample.frames.size() >= kFewestFrames);
  const std::uint64_t end = state_->frames + sample.frames.size();
  if (2 * (end + kGuardFrames) > kMostBytes) {
    return fail({.file = state_->target.string()}, "is too large for a SoundFont (4 GiB)",
                "take fewer layers");
  }
  state_->headers.push_back({{sample.name, sample.key, sample.sample_rate, {}},
                             static_cast<std::uint32_t>(state_->frames),
                             static_cast<std::uint32_t>(end)});
  std::string bytes;
  bytes.reserve(2 * (sample.frames.size() + kGuardFrames));
  for (const std::int16_t frame : sample.frames) {
    const auto bits = static_cast<std::uint16_t>(frame);
    bytes += static_cast<char>(bits & 0xFF);
    bytes += static_cast<char>(bits >> 8);
  }
  bytes.append(2 * kGuardFrames, '\0');
  errno = 0;
  state_->put(bytes);
  state_->frames = end + kGuardFrames;
  if (!state_->file) return state_->failed();
  return Done{};
}

Result<Done> SoundFontWriter::finish(std::span<const FontZone> zones, int programs) {
  assert(programs >= 1 && programs <= 128);
  assert(std::ranges::all_of(
      zones, [this](const FontZone& zone) { return zone.sample < state_->headers.size(); }));
  if (zones.size() > kMostZones || state_->headers.size() > kMostZones) {
    return fail({.file = state_->target.string()}, fmt::format("would have {} zones", zones.size()),
                fmt::format("at most {} are possible; take fewer layers", kMostZones));
  }
  RiffChunk list = presets(state_->name, programs);
  add_instrument(list, state_->name, zones);
  list.chunk(sample_headers(state_->headers, zones));
  errno = 0;
  const std::string tables = list.written();
  state_->put(tables);
  const std::uint64_t samples = 2 * state_->frames;
  constexpr std::uint64_t kFormAndHead = 12;  // "sdta", "smpl" and its size
  state_->put_size(state_->sample_list + 4, kFormAndHead + samples);
  state_->put_size(state_->sample_list + 16, samples);
  state_->put_size(4, state_->sample_list + 8 + kFormAndHead + samples + tables.size() - 8);
  state_->file.close();
  if (!state_->file) return state_->failed();
  return state_->aside.commit();
}

}  // namespace arsis
