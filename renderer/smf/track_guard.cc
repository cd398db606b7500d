#include "smf/track_guard.h"

#include <fmt/format.h>

#include <array>

namespace arsis {
namespace {

constexpr std::uint8_t kEndOfTrack = 0x2F;
constexpr std::uint8_t kEscape = 0xF7;

// Data bytes of the channel message with that status.
std::size_t data_count(std::uint8_t status) {
  const std::uint8_t kind = status & 0xF0;
  return kind == 0xC0 || kind == 0xD0 ? 1 : 2;
}

class TrackReader {
 public:
  TrackReader(std::span<const std::uint8_t> bytes, const TrackExtent& extent, MidiFile& file,
              DamageReport& damage)
      : bytes_(bytes),
        extent_(extent),
        file_(file),
        damage_(damage),
        track_(file.tracks.size()),
        at_(extent.begin),
        end_(extent.declared <= extent.limit
                 ? extent.declared
                 : find_track_chunk(bytes, extent.begin, extent.limit)) {
    file_.tracks.emplace_back();
  }

  TrackRead read() {
    while (!done_) read_event();
    file_.tracks[track_].end_tick = tick_;
    return {at_, whole_, lengthened_, too_much_};
  }

 private:
  void stop(std::size_t byte, std::string problem, std::string remedy) {
    damage_.add(extent_.number, byte, std::move(problem), std::move(remedy));
    done_ = true;
  }

  // Where the chunk ends too early, with no other chunk after it: reads on. False where there is no
  // more.
  bool lengthen() {
    if (end_ >= extent_.limit || looks_like_chunk(bytes_, end_, extent_.limit)) return false;
    damage_.add(extent_.number, end_, "the chunk's length is too short",
                "the track is read on to its end");
    end_ = find_track_chunk(bytes_, end_, extent_.limit);
    lengthened_ = true;
    return true;
  }

  // The chunk ended before its end of track: its length may be wrong, or the end may be missing.
  bool goes_on() {
    if (at_ < end_ || lengthen()) return true;
    stop(at_,
         extent_.declared > extent_.limit && end_ == extent_.limit
             ? "the file ends inside this track"
             : "the track has no end-of-track event",
         "it is read up to here");
    return false;
  }

  // A variable-length quantity of at most four bytes (Standard MIDI Files 1.0).
  std::optional<std::uint32_t> quantity() {
    std::uint32_t value = 0;
    for (int i = 0; i < 4; ++i) {
      if (at_ >= end_) return std::nullopt;
      const std::uint8_t byte = bytes_[at_++];
      value = value << 7 | (byte & 0x7Fu);
      if ((byte & 0x80) == 0) return value;
    }
    return std::nullopt;
  }

  void read_event() {
    if (!goes_on()) return;
    begin_ = at_;
    begin_tick_ = tick_;
    const std::optional<std::uint32_t> delta = quantity();
    if (!delta || at_ >= end_) {
      const bool at_the_end = at_ >= end_;
      at_ = begin_;
      if (at_the_end && lengthen()) return;  // and read it again
      stop(begin_, "a delta time is cut off or too long", "the track is read up to here");
      return;
    }
    tick_ += *delta;
    if (tick_ > kLatestTick) {
      stop(begin_, "the track is longer than any music", "it is read up to here");
      return;
    }
    const std::uint8_t first = bytes_[at_];
    if (!read_other(first)) read_channel(first);
  }

  // Reads what is no channel message; false where it is one.
  bool read_other(std::uint8_t first) {
    if (first == kMeta) {
      read_meta();
    } else if (first == kExclusive || first == kEscape) {
      read_exclusive(first);
    } else if (first >= 0xF1) {
      skip_system(first);
    } else {
      return false;
    }
    return true;
  }

  void read_meta() {
    if (at_ + 1 >= end_) return cut_off();
    const std::uint8_t type = bytes_[at_ + 1];
    at_ += 2;
    const std::optional<std::uint32_t> length = quantity();
    if (!length || *length > end_ - at_) return cut_off();
    if (type == kEndOfTrack) {
      at_ += *length;
      done_ = whole_ = true;
      return;
    }
    const std::array<std::uint8_t, 2> head = {kMeta, type};
    append(head, bytes_.subspan(at_, *length));
    at_ += *length;
    cancelled_ = true;
  }

  void read_exclusive(std::uint8_t first) {
    ++at_;
    const std::optional<std::uint32_t> length = quantity();
    if (!length || *length > end_ - at_) return cut_off();
    const std::array<std::uint8_t, 1> head = {first};
    append(head, bytes_.subspan(at_, *length));
    at_ += *length;
    cancelled_ = true;
  }

  // System messages other than exclusives cannot stand in a file; their data would be taken for
  // deltas.
  void skip_system(std::uint8_t status) {
    damage_.add(extent_.number, begin_,
                fmt::format("the message {:02X} cannot stand in a file", status), "it is left out");
    ++at_;
    const std::size_t data = status == 0xF2 ? 2 : status == 0xF1 || status == 0xF3 ? 1 : 0;
    for (std::size_t i = 0; i < data && at_ < end_ && bytes_[at_] < 0x80; ++i) ++at_;
  }

  void read_channel(std::uint8_t first) {
    if (first >= 0x80) {
      running_ = first;
      cancelled_ = false;
      ++at_;
    } else if (running_ == 0) {
      skip_data();
      return;
    } else if (cancelled_) {
      damage_.add(extent_.number, begin_, "running status goes on after another kind of event",
                  "it is taken as meant");
      cancelled_ = false;
    }
    const std::size_t count = data_count(running_);
    if (at_ + count > end_) return cut_off();
    std::array<std::uint8_t, 1> head = {running_};
    const std::span<const std::uint8_t> data = bytes_.subspan(at_, count);
    for (const std::uint8_t byte : data) {
      if (byte < 0x80) continue;
      damage_.add(extent_.number, begin_, "a message is cut off by the next one", "it is left out");
      // Go on where the next status stands, as if it had come without a delta time.
      while (bytes_[at_] < 0x80) ++at_;
      read_late();
      return;
    }
    append(head, data);
    at_ += count;
  }

  // A status that stands where a data byte was due. Does not go back to read_channel, so that a
  // file of such statuses cannot nest.
  void read_late() {
    const std::uint8_t first = bytes_[at_];
    if (read_other(first)) return;
    running_ = first;  // the channel message goes on with running status
    ++at_;
    const std::size_t count = data_count(running_);
    if (at_ + count > end_) return cut_off();
    const std::span<const std::uint8_t> data = bytes_.subspan(at_, count);
    if (data.front() >= 0x80 || data.back() >= 0x80) return;  // told of already
    const std::array<std::uint8_t, 1> head = {running_};
    append(head, data);
    at_ += count;
  }

  void skip_data() {
    damage_.add(extent_.number, begin_, "data without a status", "they are left out");
    ++at_;
    // The byte before the next status is that event's delta time.
    while (at_ + 1 < end_ && bytes_[at_ + 1] < 0x80) ++at_;
  }

  void cut_off() {
    if (lengthen()) {  // read the event again, whole
      at_ = begin_;
      tick_ = begin_tick_;
      return;
    }
    at_ = end_;
    stop(begin_, "an event is cut off", "the track is read up to here");
  }

  void append(std::span<const std::uint8_t> head, std::span<const std::uint8_t> body) {
    if (file_.tracks[track_].events.size() >= extent_.most_events) {
      done_ = too_much_ = true;
      return;
    }
    MidiEvent event;
    event.tick = tick_;
    event.first = static_cast<std::uint32_t>(file_.bytes.size());
    event.size = static_cast<std::uint32_t>(head.size() + body.size());
    event.offset = static_cast<std::uint32_t>(begin_);
    file_.bytes.insert(file_.bytes.end(), head.begin(), head.end());
    file_.bytes.insert(file_.bytes.end(), body.begin(), body.end());
    file_.tracks[track_].events.push_back(event);
  }

  std::span<const std::uint8_t> bytes_;
  const TrackExtent& extent_;
  MidiFile& file_;
  DamageReport& damage_;
  std::size_t track_;
  std::size_t at_;
  std::size_t end_;
  std::size_t begin_ = 0;  // of the event being read
  std::int64_t tick_ = 0;
  std::int64_t begin_tick_ = 0;  // before the event being read
  std::uint8_t running_ = 0;
  bool cancelled_ =
      false;  // a meta or exclusive event came since: the standard ends running status
  bool done_ = false;
  bool whole_ = false;
  bool lengthened_ = false;
  bool too_much_ = false;
};

}  // namespace

TrackRead read_track(std::span<const std::uint8_t> bytes, const TrackExtent& extent, MidiFile& file,
                     DamageReport& damage) {
  return TrackReader(bytes, extent, file, damage).read();
}

}  // namespace arsis
