#include "musicxml/score_reader.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "base/text.h"
#include "musicxml/container.h"
#include "musicxml/page_reader.h"
#include "musicxml/playing_order.h"
#include "musicxml/xml_document.h"

namespace arsis {
namespace {

constexpr std::size_t kMostNotes = 4'000'000;  // of all passes together
constexpr double kWritten = 64.0;              // velocity of a note without a dynamic

class PlayOut {
 public:
  PlayOut(const Page& page, const std::string& file) : page_(page) {
    score_.file = file;
    score_.title = page.title;
    score_.division = page.division;
  }

  Result<PrintedScore> play() {
    make_parts();
    std::vector<MeasureSigns> signs;
    for (const PageMeasure& measure : page_.measures) signs.push_back(measure.signs);
    for (const PlayedMeasure& played : playing_order(signs)) {
      add_measure(played);
      if (score_.notes.size() > kMostNotes || beats(now_) > Score::kLongest) {
        return fail({.file = score_.file}, "is too long with its repeats played out",
                    "four million notes can be played, and a million quarter notes of time");
      }
    }
    if (score_.notes.empty()) {
      return fail({.file = score_.file}, "has no note that sounds", "export the score again");
    }
    finish();
    return PrintedScore{std::move(score_), {}};
  }

 private:
  Beats beats(Ticks ticks) const {
    return {static_cast<double>(ticks) / static_cast<double>(page_.division)};
  }

  static std::string part_name(const PagePart& part, int staff, bool alone) {
    if (part.staves == 1) return part.name;
    if (part.staves == 2 && alone) return staff == 1 ? "right hand" : "left hand";
    return part.name + (part.name.empty() ? "staff " : ", staff ") + std::to_string(staff);
  }

  // A track of its own for each staff, and one before them for what holds for all.
  void make_parts() {
    score_.tracks.push_back({page_.title, {}});
    std::uint8_t channel = 0;
    for (const PagePart& part : page_.parts) {
      first_part_.push_back(score_.parts.size());
      for (int staff = 1; staff <= part.staves; ++staff) {
        const auto track = static_cast<std::uint16_t>(score_.tracks.size());
        const std::string name = part_name(part, staff, page_.parts.size() == 1);
        score_.tracks.push_back({name, {}});
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

  template <std::size_t kSize>
  void add_message(Beats at, std::uint16_t track, const std::array<std::uint8_t, kSize>& bytes) {
    score_.messages.push_back({.at = at,
                               .sequence = sequence_++,
                               .first = static_cast<std::uint32_t>(score_.message_bytes.size()),
                               .size = static_cast<std::uint32_t>(kSize),
                               .track = track});
    score_.message_bytes.insert(score_.message_bytes.end(), bytes.begin(), bytes.end());
  }

  void add_measure(const PlayedMeasure& played) {
    const PageMeasure& measure = page_.measures[played.measure];
    const Beats begin = beats(now_);
    add_bar(played, measure);
    if (measure.key && (score_.keys.empty() || score_.keys.back().sharps != measure.key->sharps ||
                        score_.keys.back().minor != measure.key->minor)) {
      score_.keys.push_back({begin, measure.key->sharps, measure.key->minor});
      add_message(begin, 0,
                  std::array<std::uint8_t, 4>{
                      0xFF, 0x59, static_cast<std::uint8_t>(measure.key->sharps & 0xFF),
                      static_cast<std::uint8_t>(measure.key->minor ? 1 : 0)});
    }
    for (const PageTempo& tempo : measure.tempos) {
      const double microseconds = 60e6 / tempo.quarters_a_minute;
      tempos_.push_back(
          {beats(now_ + tempo.at), std::llround(std::clamp(microseconds, 1.0, 16e6))});
    }
    for (std::size_t part = 0; part < measure.parts.size(); ++part) {
      for (const PageNote& note : measure.parts[part].notes) add_note(part, note);
    }
    now_ += measure.length;
  }

  void add_bar(const PlayedMeasure& played, const PageMeasure& measure) {
    const Span span{beats(now_), beats(now_ + measure.length)};
    const TimeSignature signature = *measure.signature;
    const bool goes_on = !bars_.empty() && played.measure == last_measure_ + 1;
    last_measure_ = played.measure;
    if (!measure.is_counted && goes_on) {  // the rest of a divided measure
      bars_.back().span.end = span.end;
      return;
    }
    Bar bar;
    bar.number = measure.number;
    bar.pass = played.pass;
    bar.span = span;
    bar.signature = signature;
    const bool is_pickup = played.measure == 0 && span.length() < signature.bar_length();
    if (is_pickup && !measure.is_counted) bar.number = 0;
    bar.downbeat = is_pickup ? span.end - signature.bar_length() : span.begin;
    bars_.push_back(bar);
  }

  void add_note(std::size_t page_part, const PageNote& note) {
    const auto part = static_cast<std::uint16_t>(first_part_[page_part] +
                                                 static_cast<std::size_t>(note.staff - 1));
    const std::pair<std::size_t, int> key{page_part, note.key};
    const Beats end = beats(now_ + note.onset + note.length);
    if (note.tied_from) {
      const auto open = tied_.find(key);
      const Beats begin = beats(now_ + note.onset);
      // A tie into a repeat's other ending has nothing that it goes on from there.
      if (open != tied_.end() && std::abs((score_.notes[open->second].end - begin).value) < 1e-6) {
        score_.notes[open->second].end = end;
        if (!note.tied_to) tied_.erase(open);
        return;
      }
    }
    if (note.tied_to) {
      tied_[key] = score_.notes.size();
    } else {
      tied_.erase(key);
    }
    Note made;
    made.onset = beats(now_ + note.onset);
    made.end = end;
    made.part = part;
    made.key = static_cast<std::uint8_t>(note.key);
    made.velocity = Velocity::clamped(kWritten);
    made.sequence = sequence_++;
    score_.notes.push_back(made);
  }

  void finish() {
    drop_empty_parts();
    std::ranges::stable_sort(score_.notes, [](const Note& a, const Note& b) {
      return std::tuple(a.onset, a.part, a.key) < std::tuple(b.onset, b.part, b.key);
    });
    join_unisons();
    std::ranges::stable_sort(score_.messages, {}, &Message::at);
    std::ranges::stable_sort(tempos_, {}, &TempoChange::at);
    score_.tempo = TempoMap(tempos_);
    for (const Bar& bar : bars_) {
      const bool is_new =
          score_.signatures.empty() || score_.signatures.back().signature != bar.signature;
      if (is_new) score_.signatures.push_back({bar.span.begin, bar.signature});
    }
    score_.bars = Bars::from(std::move(bars_));
    for (Track& track : score_.tracks) track.end = beats(now_);
  }

  // Voices that meet on a key share it: of notes that begin together the longest stays, others end
  // where the next begins.
  void join_unisons() {
    std::map<std::pair<std::uint16_t, std::uint8_t>, std::size_t> before;
    std::vector<bool> gone(score_.notes.size());
    for (std::size_t i = 0; i < score_.notes.size(); ++i) {
      Note& note = score_.notes[i];
      const auto [found, is_new] = before.try_emplace({note.part, note.key}, i);
      if (is_new) continue;
      Note& earlier = score_.notes[found->second];
      if (earlier.onset == note.onset) {
        earlier.end = std::max(earlier.end, note.end);
        gone[i] = true;
        continue;
      }
      earlier.end = std::min(earlier.end, note.onset);
      found->second = i;
    }
    std::size_t kept = 0;
    for (std::size_t i = 0; i < gone.size(); ++i) {
      if (!gone[i]) score_.notes[kept++] = score_.notes[i];
    }
    score_.notes.resize(kept);
  }

  // Staves on which nothing sounds are no parts.
  void drop_empty_parts() {
    std::vector<std::uint16_t> places(score_.parts.size());
    std::vector<bool> used(score_.parts.size());
    for (const Note& note : score_.notes) used[note.part] = true;
    std::vector<Part> parts;
    for (std::size_t i = 0; i < used.size(); ++i) {
      places[i] = static_cast<std::uint16_t>(parts.size());
      if (!used[i]) continue;
      parts.push_back(score_.parts[i]);
      parts.back().number = static_cast<int>(parts.size());
    }
    score_.parts = std::move(parts);
    for (Note& note : score_.notes) note.part = places[note.part];
  }

  const Page& page_;
  Score score_;
  std::vector<std::size_t> first_part_;  // of each page part, among the score's
  std::vector<TempoChange> tempos_;
  std::vector<Bar> bars_;
  std::map<std::pair<std::size_t, int>, std::size_t> tied_;  // open ties: part and key to note
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
