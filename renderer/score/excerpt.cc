#include "score/excerpt.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <optional>
#include <tuple>

#include "score/chase.h"
#include "score/click.h"
#include "score/key_rows.h"

namespace arsis {
namespace {

constexpr std::uint16_t kGone = 0xFFFF;

// A cut note keeps at least this much, where a lead brings it near the end.
constexpr Seconds kShortestNote{0.001};

class Cutter {
 public:
  Cutter(const Score& score, const Performance& performance, const ExcerptRequest& request)
      : score_(score), performance_(performance), request_(request) {
    assert(request.span.begin < request.span.end);
    assert(performance.notes.size() == score.notes.size());
    assert(request.parts.empty() || request.parts.size() == score.parts.size());
    const Bar& bar = score.bars.at(request.span.begin);
    into_bar_ = std::max(request.span.begin - bar.downbeat, Beats{0.0});
    if (into_bar_ < kSameMoment) into_bar_ = {0.0};
    signature_ = bar.signature;
    bar_left_ = bar.span.end - request.span.begin;
    if (request.count_in > 0) {
      made_.entry = signature_.bar_length() * request.count_in + into_bar_;
    }
    made_.moved = made_.entry - request.span.begin;
  }

  Excerpt cut() {
    choose_tracks();
    copy_heading();
    set_time();
    open();
    copy_messages();
    lift_pedals();
    copy_notes();
    add_click(made_.score, made_.performance, clicked());
    std::ranges::stable_sort(made_.score.messages, [](const Message& a, const Message& b) {
      return std::tuple(a.at, a.track, a.sequence) < std::tuple(b.at, b.track, b.sequence);
    });
    made_.score.bars = Bars::of(made_.score.signatures, made_.score.end());
    return std::move(made_);
  }

 private:
  Hearing hearing(std::size_t part) const {
    return request_.parts.empty() ? Hearing::kHeard : request_.parts[part];
  }
  Span span() const { return request_.span; }

  // Tracks and parts that stay, and their new places.
  void choose_tracks() {
    std::vector<bool> kept(score_.tracks.size(), true);
    std::vector<bool> needed(score_.tracks.size(), false);
    for (std::size_t i = 0; i < score_.parts.size(); ++i) {
      const Part& part = score_.parts[i];
      const bool heard = hearing(i) != Hearing::kLeftOut;
      (heard ? channel_needed_ : channel_left_out_)[part.channel] = true;
      if (heard) needed[part.track] = true;
      if (part.track > 0) kept[part.track] = false;  // unless one of its parts is needed
    }
    tracks_.assign(score_.tracks.size(), kGone);
    for (std::size_t i = 0; i < kept.size(); ++i) {
      if (!kept[i] && !needed[i]) continue;
      tracks_[i] = static_cast<std::uint16_t>(made_.score.tracks.size());
      Track track = score_.tracks[i];
      track.end = std::clamp(track.end, span().begin, span().end) + made_.moved;
      made_.score.tracks.push_back(std::move(track));
    }
    parts_.assign(score_.parts.size(), kGone);
    for (std::size_t i = 0; i < score_.parts.size(); ++i) {
      if (hearing(i) == Hearing::kLeftOut) continue;
      parts_[i] = static_cast<std::uint16_t>(made_.score.parts.size());
      Part part = score_.parts[i];
      part.track = tracks_[part.track];
      made_.score.parts.push_back(std::move(part));
    }
  }

  void copy_heading() {
    made_.score.file = score_.file;
    made_.score.title = score_.title;
    made_.score.division = score_.division;
    made_.score.message_bytes = score_.message_bytes;
  }

  Seconds counted_in() const { return seconds_per_beat() * made_.entry.value; }
  Seconds seconds_per_beat() const {
    return {static_cast<double>(score_.tempo.microseconds_per_quarter_at(span().begin)) * 1e-6};
  }

  // The performance's time, begun anew at the span; a note may be struck a little before it.
  void set_time() {
    const TimeMap& time = performance_.time;
    const Seconds begin = time.seconds_at(span().begin);
    Seconds before{0.0};
    each_note([&](std::size_t i) {
      if (performance_.notes[i].sounds) {
        before = std::max(before, begin - performance_.notes[i].onset - counted_in());
      }
    });
    later_ = before + counted_in() - begin;
    std::vector<TimeMap::Knot> knots;
    if (made_.entry > kSameMoment) knots.push_back({{0.0}, before});
    knots.push_back({made_.entry, begin + later_});
    for (const TimeMap::Knot& knot : time.knots()) {
      if (knot.beat > span().begin + kSameMoment && knot.beat < span().end - kSameMoment) {
        knots.push_back({knot.beat + made_.moved, knot.second + later_});
      }
    }
    knots.push_back({span().end + made_.moved, time.seconds_at(span().end) + later_});
    made_.performance.time = TimeMap(std::move(knots));

    std::vector<TempoChange> tempo = {
        {{0.0}, score_.tempo.microseconds_per_quarter_at(span().begin)}};
    for (const TempoChange& change : score_.tempo.changes()) {
      if (change.at > span().begin && change.at < span().end) {
        tempo.push_back({change.at + made_.moved, change.microseconds_per_quarter});
      }
    }
    made_.score.tempo = TempoMap(tempo);
  }

  void add_message(Beats at, std::uint16_t track, std::span<const std::uint8_t> bytes) {
    Score& made = made_.score;
    made.messages.push_back({.at = at,
                             .sequence = sequence_++,
                             .first = static_cast<std::uint32_t>(made.message_bytes.size()),
                             .size = static_cast<std::uint32_t>(bytes.size()),
                             .track = track});
    made.message_bytes.insert(made.message_bytes.end(), bytes.begin(), bytes.end());
  }

  void add_signature(Beats at, TimeSignature signature) {
    add_message(at, 0, signature_message(signature));
    made_.score.signatures.push_back({at, signature});
  }

  // Everything that is set before the first note.
  void open() {
    const bool pickup = request_.count_in == 0 && into_bar_.value > 0.0;
    const auto partial = pickup ? signature_of_length(bar_left_, signature_) : std::nullopt;
    // A signature of the score's own at the very beginning says the same. Where none is so short,
    // the whole one is said again at the first barline, which cuts the bar before it short.
    add_signature({0.0}, partial.value_or(signature_));
    if (pickup && bar_left_ < span().length()) add_signature(bar_left_, signature_);
    find_turned_down();
    for (const ChasedMessage& chased : arsis::chased(score_, span().begin)) {
      const std::uint16_t track = tracks_[chased.track];
      const auto own = chased.size == 0 ? score_.bytes_of(score_.messages[chased.message])
                                        : std::span(chased.bytes).first(chased.size);
      if (!stays(own, track)) continue;
      if (chased.size > 0) {
        add_message({0.0}, kept_track(track), own);
        continue;
      }
      Message message = score_.messages[chased.message];
      message.at = {0.0};
      message.track = kept_track(track);
      message.sequence = sequence_++;
      made_.score.messages.push_back(message);
    }
    for (const KeySignature& signature : score_.keys) {
      const bool before = signature.at <= span().begin;
      if (before && !made_.score.keys.empty()) made_.score.keys.clear();
      if (signature.at >= span().end) break;
      made_.score.keys.push_back(signature);
      made_.score.keys.back().at = before ? Beats{0.0} : signature.at + made_.moved;
    }
    turn_down();
    first_sequence_ = sequence_;
  }

  // A silent part's own channel gets no volume, and none of the score's. The click's is not its
  // own.
  void find_turned_down() {
    std::array<bool, 16> heard{};
    if (request_.click || request_.count_in > 0) heard[kDrumChannel] = true;
    for (std::size_t i = 0; i < score_.parts.size(); ++i) {
      const std::size_t channel = score_.parts[i].channel;
      if (hearing(i) == Hearing::kHeard) heard[channel] = true;
      if (hearing(i) == Hearing::kSilent) turned_down_[channel] = true;
    }
    for (std::size_t i = 0; i < heard.size(); ++i) {
      if (heard[i]) turned_down_[i] = false;
    }
  }
  void turn_down() {
    std::array<bool, 16> waits = turned_down_;
    for (std::size_t i = 0; i < score_.parts.size(); ++i) {
      const Part& part = score_.parts[i];
      if (hearing(i) != Hearing::kSilent || !waits[part.channel]) continue;
      waits[part.channel] = false;
      const std::array<std::uint8_t, 3> volume = {static_cast<std::uint8_t>(0xB0 | part.channel), 7,
                                                  0};
      add_message({0.0}, tracks_[part.track], volume);
    }
  }

  std::uint16_t kept_track(std::uint16_t track) const { return track == kGone ? 0 : track; }

  // Whether a message has a use in the excerpt: not where only parts that are left out would hear
  // it. Key signatures outlive their track.
  bool stays(std::span<const std::uint8_t> bytes, std::uint16_t track) const {
    if (bytes.empty()) return false;
    if (bytes[0] >= 0x80 && bytes[0] < 0xF0) {
      const std::size_t channel = bytes[0] & 0x0F;
      if (channel_left_out_[channel] && !channel_needed_[channel]) return false;
      const bool volume = (bytes[0] & 0xF0) == 0xB0 && bytes.size() > 1 && bytes[1] == 7;
      return !(turned_down_[channel] && volume);
    }
    if (track != kGone || bytes[0] == 0xF0) return true;
    return bytes.size() > 1 && bytes[0] == 0xFF && bytes[1] == 0x59;
  }

  void copy_messages() {
    const auto first = std::ranges::lower_bound(score_.messages, span().begin, {}, &Message::at);
    for (auto it = first; it != score_.messages.end() && it->at < span().end; ++it) {
      const auto bytes = score_.bytes_of(*it);
      const bool is_signature = bytes.size() > 1 && bytes[0] == 0xFF && bytes[1] == 0x58;
      if (is_signature) continue;  // below
      if (!stays(bytes, tracks_[it->track])) continue;
      Message message = *it;
      message.at += made_.moved;
      message.track = kept_track(tracks_[it->track]);
      message.sequence += first_sequence_;
      made_.score.messages.push_back(message);
    }
    for (const TimeSignatureChange& change : score_.signatures) {
      if (change.at > span().begin + kSameMoment && change.at < span().end) {
        const bool written = made_.score.signatures.back().at >= change.at + made_.moved;
        if (written) {  // where the pickup ends
          made_.score.signatures.pop_back();
          std::erase_if(made_.score.messages, [&](const Message& message) {
            const auto bytes = made_.score.bytes_of(message);
            return message.at == change.at + made_.moved && bytes.size() > 1 && bytes[0] == 0xFF &&
                   bytes[1] == 0x58;
          });
        }
        add_signature(change.at + made_.moved, change.signature);
      }
    }
  }

  // Where the cut leaves them down.
  void lift_pedals() {
    for (const ChasedMessage& chased : arsis::chased(score_, span().end)) {
      if (chased.size > 0) continue;
      const auto bytes = score_.bytes_of(score_.messages[chased.message]);
      const bool pedal = (bytes[0] & 0xF0) == 0xB0 && (bytes[1] == 64 || bytes[1] == 66);
      const std::uint16_t track = tracks_[chased.track];
      if (!pedal || bytes[2] == 0 || !stays(bytes, track)) continue;
      const std::array<std::uint8_t, 3> up = {bytes[0], bytes[1], 0};
      add_message(span().end + made_.moved, kept_track(track), up);
    }
  }

  template <class Take>
  void each_note(const Take& take) const {
    const auto first = std::ranges::lower_bound(score_.notes, span().begin, {}, &Note::onset);
    for (auto it = first; it != score_.notes.end() && it->onset < span().end; ++it) {
      if (parts_[it->part] == kGone) continue;
      take(static_cast<std::size_t>(it - score_.notes.begin()));
    }
  }

  // Whether it, or a note of the same moment and key that it sounds for, is written to last beyond
  // the span.
  bool lasts_beyond(std::size_t i) const {
    const std::vector<Note>& notes = score_.notes;
    const std::size_t key = channel_key(score_, i);
    const auto first = std::ranges::lower_bound(notes, notes[i].onset, {}, &Note::onset);
    for (auto it = first; it != notes.end() && it->onset == notes[i].onset; ++it) {
      const auto other = static_cast<std::size_t>(it - notes.begin());
      const bool sounds_for = other == i || !performance_.notes[other].sounds;
      if (it->end > span().end && sounds_for && channel_key(score_, other) == key) return true;
    }
    return false;
  }

  void copy_notes() {
    const Seconds end = performance_.time.seconds_at(span().end);
    each_note([&](std::size_t i) {
      Note note = score_.notes[i];
      PerformedNote played = performance_.notes[i];
      if (played.end > end && lasts_beyond(i)) {
        played.end = std::max(end, played.onset + kShortestNote);
      }
      note.end = std::min(note.end, span().end);
      note.onset += made_.moved;
      note.end += made_.moved;
      note.part = parts_[note.part];
      note.sequence += first_sequence_;
      played.onset += later_;
      played.end += later_;
      made_.score.notes.push_back(note);
      made_.performance.notes.push_back(played);
    });
  }

  // The stretches of the excerpt where the click is heard.
  std::vector<ClickStretch> clicked() const {
    std::vector<ClickStretch> stretches;
    if (made_.entry.value > 0.0) stretches.push_back({{{0.0}, made_.entry}, {0.0}, signature_});
    if (!request_.click) return stretches;
    for (const Bar& bar : score_.bars.all()) {
      if (bar.span.end <= span().begin + kSameMoment) continue;
      if (bar.span.begin >= span().end - kSameMoment) break;
      stretches.push_back({{std::max(bar.span.begin, span().begin) + made_.moved,
                            std::min(bar.span.end, span().end) + made_.moved},
                           bar.downbeat + made_.moved,
                           bar.signature});
    }
    return stretches;
  }

  const Score& score_;
  const Performance& performance_;
  const ExcerptRequest& request_;
  Excerpt made_;
  Beats into_bar_;  // from the downbeat to the entry
  Beats bar_left_;  // from the entry to the bar's end
  TimeSignature signature_;
  Seconds later_;                      // added to a second of the whole performance
  std::vector<std::uint16_t> tracks_;  // new places, by old; kGone
  std::vector<std::uint16_t> parts_;
  std::array<bool, 16> channel_needed_{};
  std::array<bool, 16> channel_left_out_{};
  std::array<bool, 16> turned_down_{};
  std::uint32_t sequence_ = 0;
  std::uint32_t first_sequence_ = 0;  // what the opening took
};

}  // namespace

Excerpt excerpt_of(const Score& score, const Performance& performance,
                   const ExcerptRequest& request) {
  return Cutter(score, performance, request).cut();
}

}  // namespace arsis
