#include "smf/libsmf_decoder.h"

// libsmf's header needs glib's before it, and is C.
#include <fmt/format.h>
#include <glib.h>
#include <smf.h>

#include <algorithm>
#include <memory>

#include "smf/variable_length.h"

namespace arsis {
namespace {

constexpr std::size_t kLongestMeta = 127;  // libsmf over-reads longer ones
// Events handed over at a time: smf_delete is quadratic in a track's events, and each costs libsmf
// over a hundred bytes.
constexpr std::size_t kSlice = 512;
constexpr std::int64_t kLongestDelta = 0x0FFFFFFF;

struct SmfDeleter {
  void operator()(smf_t* smf) const { smf_delete(smf); }
};

// Keeps libsmf's own messages off standard error while it lives.
class QuietLog {
 public:
  QuietLog() : handler_(g_log_set_handler("libsmf", kAll, ignore, nullptr)) {}
  QuietLog(const QuietLog&) = delete;
  QuietLog& operator=(const QuietLog&) = delete;
  ~QuietLog() { g_log_remove_handler("libsmf", handler_); }

 private:
  static constexpr auto kAll =
      static_cast<GLogLevelFlags>(G_LOG_LEVEL_MASK | G_LOG_FLAG_FATAL | G_LOG_FLAG_RECURSION);
  static void ignore(const gchar*, GLogLevelFlags, const gchar*, gpointer) {}
  guint handler_;
};

bool can_hold(std::span<const std::uint8_t> event) {
  if (event[0] < 0xF0) return true;
  return event[0] == 0xFF && event[1] != 0x51 && event.size() - 2 <= kLongestMeta;
}

// A file of one track with these events; their deltas count from the first one.
Bytes slice_of(const MidiFile& file, std::span<const MidiEvent* const> events) {
  Bytes track;
  std::int64_t tick = events.front()->tick;
  for (const MidiEvent* event : events) {
    put_variable_length(track, static_cast<std::uint32_t>(event->tick - tick));
    tick = event->tick;
    put_event(track, file.bytes_of(*event));
  }
  track.insert(track.end(), {0x00, 0xFF, 0x2F, 0x00});
  Bytes out = {'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, 0x01, 0xE0, 'M', 'T', 'r', 'k'};
  for (int shift = 24; shift >= 0; shift -= 8) {
    out.push_back(static_cast<std::uint8_t>(track.size() >> shift));
  }
  out.insert(out.end(), track.begin(), track.end());
  return out;
}

bool decodes_alike(const MidiFile& file, std::span<const MidiEvent* const> events) {
  Bytes bytes = slice_of(file, events);
  const std::unique_ptr<smf_t, SmfDeleter> smf(
      smf_load_from_memory(bytes.data(), static_cast<int>(bytes.size())));
  if (smf == nullptr || smf->number_of_tracks != 1) return false;
  const smf_track_t* track = smf_get_track_by_number(smf.get(), 1);
  const auto count = static_cast<std::size_t>(track->number_of_events);
  if (count != events.size() + 1) return false;  // and its end of track
  for (std::size_t i = 0; i < events.size(); ++i) {
    const smf_event_t* found = smf_track_get_event_by_number(track, static_cast<int>(i) + 1);
    Bytes expected;
    put_event(expected, file.bytes_of(*events[i]));
    if (found->time_pulses != events[i]->tick - events.front()->tick) return false;
    if (!std::equal(expected.begin(), expected.end(), found->midi_buffer,
                    found->midi_buffer + found->midi_buffer_length)) {
      return false;
    }
  }
  return true;
}

}  // namespace

Result<Done> check_with_libsmf(const MidiFile& file, const std::string& name) {
  const QuietLog quiet;
  std::vector<const MidiEvent*> slice;
  for (std::size_t i = 0; i < file.tracks.size(); ++i) {
    const auto check = [&] {
      const bool alike = slice.empty() || decodes_alike(file, slice);
      const std::uint32_t offset = slice.empty() ? 0 : slice.front()->offset;
      slice.clear();
      if (alike) return Diagnostics{};
      return fail({name, 0, 0, fmt::format("track {}, byte {}", i + 1, offset)},
                  "libsmf reads the events from here on differently",
                  "export the file anew, or report this file as a fault of Arsis");
    };
    for (const MidiEvent& event : file.tracks[i].events) {
      if (!can_hold(file.bytes_of(event))) continue;
      const bool full = slice.size() >= kSlice ||
                        (!slice.empty() && event.tick - slice.front()->tick > kLongestDelta);
      if (full) {
        if (Diagnostics errors = check(); !errors.empty()) return errors;
      }
      slice.push_back(&event);
    }
    if (Diagnostics errors = check(); !errors.empty()) return errors;
  }
  return Done{};
}

}  // namespace arsis
