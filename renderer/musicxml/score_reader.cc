#include "musicxml/score_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <span>
#include <tuple>

#include "base/text.h"
#include "musicxml/container.h"
#include "musicxml/dynamics_again.h"
#include "musicxml/note_player.h"
#include "musicxml/page_reader.h"
#include "musicxml/playing_order.h"
#include "musicxml/printed_page.h"
#include "musicxml/written_tempo.h"
#include "musicxml/xml_document.h"

namespace arsis {
namespace {

constexpr std::size_t kMostNotes = 4'000'000;  // of all passes together
constexpr std::size_t kMostSigns = 4'000'000;  // and tempos, of all passes together
constexpr std::uint8_t kPedal = 64;            // controller. Source: MIDI 1.0

class PlayOut {
 public:
  PlayOut(const Page& page, const std::string& file) : page_(page) {
    score_.file = file;
    score_.title = page.title;
    score_.division = page.division;
  }

  Result<PrintedScore> play() {
    make_parts();
    NotePlayer player(page_.division, first_part_);
    std::vector<MeasureSigns> signs;
    for (const PageMeasure& measure : page_.measures) signs.push_back(measure.signs);
    const std::vector<PlayedMeasure> order = playing_order(signs);
    DynamicsAgain again(order);
    for (std::size_t i = 0; i < order.size(); ++i) {
      const std::size_t first = signs_.size();
      go_back(order[i], again.enter(page_.measures[order[i].measure], i));
      add_measure(order[i], player);
      for (std::size_t sign = first; sign < signs_.size(); ++sign) {
        again.play(signs_[sign].page_part, *signs_[sign].sign, signs_[sign].at);
      }
      const bool is_too_much = player.notes.size() > kMostNotes ||
                               signs_.size() + tempos_.size() > kMostSigns ||
                               beats(now_) > Score::kLongest;
      if (is_too_much) {
        return fail({.file = score_.file}, "is too long with its repeats played out",
                    "four million notes and as many signs can be played, and a million quarter "
                    "notes of time");
      }
    }
    if (player.notes.empty()) {
      return fail({.file = score_.file}, "has no note that sounds", "export the score again");
    }
    end_stretches({});
    Diagnostics doubts = unplayed();
    return {finish(std::move(player)), std::move(doubts)};
  }

 private:
  Beats beats(Ticks ticks) const { return beats_of(ticks, page_.division); }

  static std::string part_name(const PagePart& part, int staff, bool alone) {
    if (part.staves == 1) return part.name;
    if (part.staves == 2 && alone) return staff == 1 ? "right hand" : "left hand";
    return part.name + (part.name.empty() ? "staff " : ", staff ") + std::to_string(staff);
  }

  // A track of its own for each staff, and one before them for what holds for all.
  void make_parts() {
    score_.tracks.push_back({page_.title, {}});
    add_name(0, page_.title);
    std::uint8_t channel = 0;
    for (const PagePart& part : page_.parts) {
      first_part_.push_back(score_.parts.size());
      for (int staff = 1; staff <= part.staves; ++staff) {
        const auto track = static_cast<std::uint16_t>(score_.tracks.size());
        const std::string name = part_name(part, staff, page_.parts.size() == 1);
        score_.tracks.push_back({name, {}});
        add_name(track, name);
        score_.parts.push_back({name, track, static_cast<int>(track), channel});
        if (part.program) {
          add_message({0.0}, track,
                      std::array<std::uint8_t, 2>{static_cast<std::uint8_t>(0xC0 | channel),
                                                  static_cast<std::uint8_t>(*part.program)});
        }
        channel = static_cast<std::uint8_t>((channel + 1) % 16);
        if (channel == kDrumChannel) ++channel;
      }
    }
  }

  // Source: Standard MIDI Files 1.0, "Sequence/Track Name".
  void add_name(std::uint16_t track, const std::string& name) {
    if (name.empty()) return;
    std::vector<std::uint8_t> bytes = {0xFF, 0x03};
    bytes.insert(bytes.end(), name.begin(), name.end());
    add_message({0.0}, track, bytes);
  }

  void add_message(Beats at, std::uint16_t track, std::span<const std::uint8_t> bytes) {
    score_.messages.push_back({.at = at,
                               .sequence = sequence_++,
                               .first = static_cast<std::uint32_t>(score_.message_bytes.size()),
                               .size = static_cast<std::uint32_t>(bytes.size()),
                               .track = track});
    score_.message_bytes.insert(score_.message_bytes.end(), bytes.begin(), bytes.end());
  }

  // Measures that no pass comes to: the page's repeats, endings and jumps are at odds.
  Diagnostics unplayed() const {
    std::size_t count = 0;
    Where where{.file = score_.file};
    std::string name;
    for (std::size_t i = 0; i < page_.measures.size(); ++i) {
      if (entered_.contains(i) || ++count > 1) continue;
      const PageMeasure& measure = page_.measures[i];
      name = measure.is_counted ? fmt::format("bar {}", measure.number) : "a part of a bar";
      const auto note = std::ranges::find_if(
          measure.parts, [](const PartMeasure& part) { return !part.notes.empty(); });
      if (note != measure.parts.end()) {
        where.line = note->notes.front().place.line;
        where.column = note->notes.front().place.column;
      }
    }
    if (count == 0) return {};
    const std::string more = count > 1 ? fmt::format(" ({} more like it)", count - 1) : "";
    return {warning(where, name + " is never played" + more,
                    "look at the repeats, endings and jumps before it")};
  }

  // Before a measure: what holds again where the music goes back.
  void go_back(const PlayedMeasure& played, const std::vector<DynamicsAgain::Sign>& again) {
    const auto [first, is_first] = entered_.try_emplace(played.measure, now_);
    if (!is_first && played.measure <= last_measure_) {
      const TimeSignature signature = *page_.measures[played.measure].signature;
      tempos_.push_back({now_, {}, signature, nullptr, first->second});
    }
    for (const auto& [part, sign] : again) {
      signs_.push_back({now_, {}, static_cast<std::uint16_t>(part), sign});
    }
  }

  void add_measure(const PlayedMeasure& played, NotePlayer& player) {
    const PageMeasure& measure = page_.measures[played.measure];
    measures_.push_back({beats(now_), static_cast<std::uint32_t>(played.measure)});
    if (played.measure != last_measure_ + 1) end_stretches({});
    add_bar(played, measure);
    last_measure_ = played.measure;
    if (measure.key) add_key(*measure.key);
    for (const PageTempo& tempo : measure.tempos) {
      tempos_.push_back({now_ + tempo.at, {}, *measure.signature, &tempo});
      if (tempo.end)
        open_.emplace(tempo.end->measure, OpenPlayed{tempo.end->at, tempos_.size() - 1, true});
    }
    for (std::size_t part = 0; part < measure.parts.size(); ++part) {
      player.add(part, measure.parts[part], now_);
      for (const PageSign& sign : measure.parts[part].signs) {
        signs_.push_back({now_ + sign.at, {}, static_cast<std::uint16_t>(part), &sign});
        if (sign.end)
          open_.emplace(sign.end->measure, OpenPlayed{sign.end->at, signs_.size() - 1, false});
      }
    }
    end_stretches(played.measure);
    now_ += measure.length;
  }

  // Ends the stretches whose end is printed in the measure that is played now; without one all that
  // are open, as a jump does.
  void end_stretches(std::optional<std::size_t> measure) {
    const auto last = measure ? open_.upper_bound(*measure) : open_.end();
    for (auto each = open_.begin(); each != last; ++each) {
      const auto& [end_measure, open] = *each;
      const Ticks at = measure && end_measure == *measure ? now_ + open.end : now_;
      (open.is_tempo ? tempos_[open.index].to : signs_[open.index].to) = at;
    }
    open_.erase(open_.begin(), last);
  }

  void add_key(PageKey key) {
    const bool is_new = score_.keys.empty() || score_.keys.back().sharps != key.sharps ||
                        score_.keys.back().minor != key.minor;
    if (!is_new) return;
    score_.keys.push_back({beats(now_), key.sharps, key.minor});
    add_message(
        beats(now_), 0,
        std::array<std::uint8_t, 4>{0xFF, 0x59, static_cast<std::uint8_t>(key.sharps & 0xFF),
                                    static_cast<std::uint8_t>(key.minor ? 1 : 0)});
  }

  void add_bar(const PlayedMeasure& played, const PageMeasure& measure) {
    const Span span{beats(now_), beats(now_ + measure.length)};
    const TimeSignature signature = *measure.signature;
    if (!measure.is_counted && goes_on(played, span)) {
      bars_.back().span.end = span.end;
      return;
    }
    Bar bar;
    bar.number = measure.number;
    bar.span = span;
    bar.signature = signature;
    const bool is_pickup = played.measure == 0 && span.length() < signature.bar_length();
    if (is_pickup && !measure.is_counted) bar.number = 0;
    bar.pass = ++times_[bar.number];
    bar.downbeat = is_pickup ? span.end - signature.bar_length() : span.begin;
    bars_.push_back(bar);
  }

  // Whether a measure that is not counted is the rest of a divided one: of that printed before it,
  // or, where the music goes back to it, of a bar at whose end it makes up what is missing.
  bool goes_on(const PlayedMeasure& played, Span span) const {
    if (bars_.empty() || played.measure == 0) return false;
    if (played.measure == last_measure_ + 1) return true;
    const Bar& before = bars_.back();
    return span.end - before.span.begin - before.signature.bar_length() < kSameMoment;
  }

  PrintedScore finish(NotePlayer player) {
    std::ranges::stable_sort(signs_, {}, &PlayedSign::at);
    add_pedal();
    PlayedPage played{page_,
                      std::move(player.notes),
                      std::move(player.slurs),
                      std::move(player.fermatas),
                      std::move(signs_),
                      {},
                      {},
                      0,
                      now_};
    drop_empty_parts(played);
    std::ranges::stable_sort(played.notes, {}, [](const PlayedPageNote& each) {
      return std::tuple(each.note.onset, each.note.part, each.note.key);
    });
    join_unisons(played);
    played.part_count = score_.parts.size();
    Printed printed = printed_page(played, score_.file);
    printed.measures = std::move(measures_);
    score_.notes.reserve(played.notes.size());
    for (const PlayedPageNote& note : played.notes) {
      score_.notes.push_back(note.note);
      score_.notes.back().sequence = sequence_++;
    }
    score_.tempo = TempoMap(written_tempo(std::move(tempos_), page_.division, now_));
    add_signatures();
    std::ranges::stable_sort(score_.messages, {}, &Message::at);
    score_.bars = Bars::from(std::move(bars_));
    for (Track& track : score_.tracks) track.end = beats(now_);
    return {std::move(score_), std::move(printed)};
  }

  // As a MIDI file tells bars: one that is shorter or longer than its signature has one of its own.
  void add_signatures() {
    for (const Bar& bar : bars_) {
      const bool is_whole = same_moment(bar.span.length(), bar.signature.bar_length());
      const TimeSignature signature =
          is_whole ? bar.signature
                   : signature_of_length(bar.span.length(), bar.signature).value_or(bar.signature);
      if (!score_.signatures.empty() && score_.signatures.back().signature == signature) continue;
      score_.signatures.push_back({bar.span.begin, signature});
      add_message(bar.span.begin, 0, signature_message(signature));
    }
  }

  // The damper pedal as controllers, on the channels of all staves of its part. One sign to press
  // it after another without a release between is a change; what is held down at the end is let go
  // there.
  void add_pedal() {
    std::vector<bool> down(page_.parts.size());
    for (const PlayedSign& played : signs_) {
      const SignKind kind = played.sign->kind;
      const std::size_t part = played.page_part;
      const bool presses = kind == SignKind::kPedalDown || kind == SignKind::kPedalChange;
      if (!presses && kind != SignKind::kPedalUp) continue;
      if (down[part]) press(part, played.at, false);
      if (presses) press(part, played.at, true);
      down[part] = presses;
    }
    for (std::size_t part = 0; part < down.size(); ++part) {
      if (down[part]) press(part, now_, false);
    }
  }

  void press(std::size_t page_part, Ticks at, bool down) {
    for (std::size_t i = 0; i < static_cast<std::size_t>(page_.parts[page_part].staves); ++i) {
      const Part& part = score_.parts[first_part_[page_part] + i];
      add_message(beats(at), part.track,
                  std::array<std::uint8_t, 3>{static_cast<std::uint8_t>(0xB0 | part.channel),
                                              kPedal, static_cast<std::uint8_t>(down ? 127 : 0)});
    }
  }

  // Voices that meet on a key share it: of notes that begin together the longest stays, others end
  // where the next begins.
  static void join_unisons(PlayedPage& played) {
    std::vector<PlayedPageNote>& notes = played.notes;
    played.kept.resize(notes.size());
    std::map<std::pair<std::uint16_t, std::uint8_t>, std::size_t> before;
    std::size_t count = 0;
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const auto [found, is_new] =
          before.try_emplace({notes[i].note.part, notes[i].note.key}, count);
      Note& earlier = notes[found->second].note;
      if (!is_new && earlier.onset == notes[i].note.onset) {
        earlier.end = std::max(earlier.end, notes[i].note.end);
        earlier.grace = earlier.grace && notes[i].note.grace;
        notes[found->second].marks.add(notes[i].marks);
        played.kept[notes[i].serial] = static_cast<std::uint32_t>(found->second);
        continue;
      }
      if (!is_new) earlier.end = std::min(earlier.end, notes[i].note.onset);
      found->second = count;
      played.kept[notes[i].serial] = static_cast<std::uint32_t>(count);
      if (count != i) notes[count] = std::move(notes[i]);
      ++count;
    }
    notes.resize(count);
  }

  // Staves on which nothing sounds are no parts.
  void drop_empty_parts(PlayedPage& played) {
    std::vector<std::optional<std::uint16_t>> places(score_.parts.size());
    std::vector<bool> used(score_.parts.size());
    for (const PlayedPageNote& note : played.notes) used[note.note.part] = true;
    std::vector<Part> parts;
    for (std::size_t i = 0; i < used.size(); ++i) {
      if (!used[i]) continue;
      places[i] = static_cast<std::uint16_t>(parts.size());
      parts.push_back(score_.parts[i]);
      parts.back().number = static_cast<int>(parts.size());
    }
    score_.parts = std::move(parts);
    for (PlayedPageNote& note : played.notes) note.note.part = *places[note.note.part];
    for (std::size_t i = 0; i < page_.parts.size(); ++i) {
      const auto first = places.begin() + static_cast<std::ptrdiff_t>(first_part_[i]);
      played.staves.emplace_back(first, first + page_.parts[i].staves);
    }
  }

  struct OpenPlayed {
    Ticks end = 0;          // from the beginning of the measure that it is printed in
    std::size_t index = 0;  // in signs_ or tempos_
    bool is_tempo = false;
  };

  const Page& page_;
  Score score_;
  std::vector<std::size_t> first_part_;  // of each page part, among the score's
  std::vector<PlayedTempo> tempos_;
  std::vector<PlayedSign> signs_;
  // Hairpins and words whose end has not been played yet, by the measure that it is printed in.
  std::multimap<std::size_t, OpenPlayed> open_;
  std::vector<Bar> bars_;
  std::vector<PrintedMeasure> measures_;
  std::map<int, int> times_;              // that bars of each number have been played
  std::map<std::size_t, Ticks> entered_;  // when each measure was played at first
  std::size_t last_measure_ = static_cast<std::size_t>(-2);
  std::uint32_t sequence_ = 0;
  Ticks now_ = 0;
};

}  // namespace

bool is_musicxml(const std::filesystem::path& path) {
  const std::string ending = lower_case(path.extension().string());
  return ending == ".musicxml" || ending == ".xml" || ending == ".mxl";
}

Result<PrintedScore> played_score(const Page& page, const std::string& file) {
  return PlayOut(page, file).play();
}

Result<PrintedScore> read_musicxml(const std::filesystem::path& path) {
  const Result<std::string> text = read_musicxml_text(path);
  Diagnostics all = text.diagnostics();
  const auto append = [&](const Diagnostics& more) {
    all.insert(all.end(), more.begin(), more.end());
  };
  if (!text) return all;
  const Result<XmlDocument> document = XmlDocument::parse(*text, path.string());
  append(document.diagnostics());
  if (!document) return all;
  const Result<Page> page = read_page(*document);
  append(page.diagnostics());
  if (!page) return all;
  Result<PrintedScore> score = played_score(*page, path.string());
  append(score.diagnostics());
  if (!score) return all;
  return {*std::move(score), std::move(all)};
}

}  // namespace arsis
