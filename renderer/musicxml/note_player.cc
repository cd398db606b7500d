#include "musicxml/note_player.h"

#include <algorithm>
#include <cmath>

#include "plan/tuning.h"

namespace arsis {
namespace {

constexpr Ticks kGraceShare = 8;              // of a quarter note that a grace note lasts
constexpr double kForteVelocity = 90.0;       // MusicXML 4.0: `dynamics` are percent of it
constexpr std::size_t kLongestSlur = 10'000;  // notes

}  // namespace

Ticks NotePlayer::ticks(Beats at) const { return std::llround(at.value * division_); }

void NotePlayer::add(std::size_t page_part, const PartMeasure& measure, Ticks begin) {
  set_loudness(page_part, measure, begin);
  const PageNote* before = nullptr;
  for (const PageNote& note : measure.notes) {
    if (!note.grace) {
      add_note(page_part, note, begin);
    } else {
      const bool same_group = before != nullptr && before->grace && before->onset == note.onset &&
                              before->voice == note.voice &&
                              before->grace->place <= note.grace->place;
      if (!same_group) begin_graces(page_part, note, begin);
      add_grace(page_part, note, begin);
    }
    before = &note;
  }
}

void NotePlayer::set_loudness(std::size_t page_part, const PartMeasure& measure, Ticks begin) {
  std::vector<std::pair<Ticks, double>> here;
  for (const PageSign& sign : measure.signs) {
    if (sign.kind == SignKind::kLoudness) here.emplace_back(begin + sign.at, sign.ratio);
  }
  if (here.empty()) return;
  std::ranges::stable_sort(here, {}, &std::pair<Ticks, double>::first);
  std::vector<std::pair<Ticks, double>>& all = loudness_[page_part];
  all.insert(all.end(), here.begin(), here.end());
}

// Ratio to forte; mf where the page has not said anything.
double NotePlayer::loudness_at(std::size_t page_part, Ticks at) const {
  static const double kMezzoForte =
      velocity_at(level_of_dynamic(0, Tuning{})).value() / kForteVelocity;
  const auto found = loudness_.find(page_part);
  if (found == loudness_.end()) return kMezzoForte;
  const auto after =
      std::ranges::upper_bound(found->second, at, {}, &std::pair<Ticks, double>::first);
  return after == found->second.begin() ? kMezzoForte : std::prev(after)->second;
}

// The open tie that ends where the note begins: of its own voice, else of its staff, else of any.
std::vector<NotePlayer::OpenTie>::iterator NotePlayer::open_tie(std::vector<OpenTie>& open,
                                                                const PageNote& note,
                                                                Beats at) const {
  auto best = open.end();
  int best_rank = -1;
  for (auto tie = open.begin(); tie != open.end(); ++tie) {
    if (std::abs((notes[tie->note].note.end - at).value) * kSlackParts >= 1.0) continue;
    const int rank = (tie->staff == note.staff ? 2 : 0) + (tie->voice == note.voice ? 1 : 0);
    if (rank <= best_rank) continue;
    best = tie;
    best_rank = rank;
  }
  return best;
}

bool NotePlayer::is_tied_on(std::size_t page_part, std::size_t note) const {
  const auto open = tied_.find({page_part, notes[note].note.key});
  return open != tied_.end() &&
         std::ranges::find(open->second, note, &OpenTie::note) != open->second.end();
}

// Whether the note is the end of an earlier one that is tied to it. A tie into a repeat's other
// ending has nothing that it goes on from there.
bool NotePlayer::goes_on(std::size_t page_part, const PageNote& note, Ticks begin) {
  if (!note.tied_from) return false;
  std::vector<OpenTie>& open = tied_[{page_part, note.key}];
  const Span span{beats(begin + note.onset), beats(begin + note.onset + note.length)};
  const auto tie = open_tie(open, note, span.begin);
  if (tie == open.end()) return false;
  PlayedPageNote& earlier = notes[tie->note];
  earlier.note.end = span.end;
  earlier.note.grace = false;
  if (note.marks.has(Mark::kBreath)) earlier.marks.add(Mark::kBreath);
  if (note.marks.has(Mark::kFermata)) {
    earlier.marks.add(Mark::kFermata);
    fermatas.push_back({span, note.place});
  }
  earlier.caesura |= note.caesura;
  follow_slurs(page_part, note, earlier.serial);
  Voice& voice = voice_of(page_part, note);
  if (voice.begin != begin + note.onset) voice.chord.clear();
  voice.begin = begin + note.onset;
  voice.chord.push_back(tie->note);
  if (note.tied_to) {
    tie->staff = note.staff;
    tie->voice = note.voice;
  } else {
    open.erase(tie);
  }
  return true;
}

void NotePlayer::add_note(std::size_t page_part, const PageNote& note, Ticks begin) {
  if (goes_on(page_part, note, begin)) return;
  const Ticks written = begin + note.onset;
  Voice& voice = voice_of(page_part, note);
  const bool waits = voice.delay && voice.delay->first == written;
  const Ticks onset = waits ? std::min(voice.delay->second, written + note.length - 1) : written;
  strike(page_part, note, written, {beats(onset), beats(written + note.length)});
  if (note.marks.has(Mark::kFermata)) {
    fermatas.push_back({{beats(written), beats(written + note.length)}, note.place});
  }
}

void NotePlayer::strike(std::size_t page_part, const PageNote& note, Ticks written, Span span) {
  if (const auto open = tied_.find({page_part, note.key}); open != tied_.end()) {
    std::erase_if(open->second, [&](const OpenTie& tie) {
      return tie.staff == note.staff && tie.voice == note.voice;
    });
  }
  if (note.tied_to) {
    tied_[{page_part, note.key}].push_back({notes.size(), note.staff, note.voice});
  }
  PlayedPageNote& made = notes.emplace_back();
  made.note.onset = span.begin;
  made.note.end = span.end;
  made.note.part = static_cast<std::uint16_t>(first_parts_[page_part] +
                                              static_cast<std::size_t>(note.staff - 1));
  made.note.key = static_cast<std::uint8_t>(note.key);
  const double loudness = note.loudness.value_or(loudness_at(page_part, written));
  made.note.velocity = Velocity::clamped(kForteVelocity * loudness);
  made.note.grace = note.grace.has_value();
  made.page_part = static_cast<std::uint16_t>(page_part);
  made.serial = static_cast<std::uint32_t>(notes.size() - 1);
  made.written = written;
  made.marks = note.marks;
  made.caesura = note.caesura;
  made.page = &note;
  follow_slurs(page_part, note, made.serial);
  Voice& voice = voice_of(page_part, note);
  if (voice.begin != written || (!voice.chord.empty() && notes[voice.chord[0]].note.grace)) {
    voice.chord.clear();
  }
  voice.begin = written;
  voice.chord.push_back(notes.size() - 1);
}

void NotePlayer::begin_graces(std::size_t page_part, const PageNote& first, Ticks begin) {
  const Ticks principal = begin + first.onset;
  const Ticks count = first.grace->count;
  const Ticks usual = std::max<Ticks>(1, division_ / kGraceShare) * count;
  Voice& voice = voice_of(page_part, first);
  Ticks before_begin = 0;
  Ticks before_end = 0;
  for (const std::size_t i : voice.chord) {
    before_begin = ticks(notes[i].note.onset);
    before_end = std::max(before_end, ticks(notes[i].note.end));
  }
  const auto share = [](Ticks of, double ratio) {
    return std::max<Ticks>(1, std::llround(static_cast<double>(of) * ratio));
  };
  const bool takes_following = first.grace->steal_following && first.length > 0;
  if (takes_following || principal == 0) {
    const Ticks room = first.length > 0 ? first.length : usual * 4;
    grace_begin_ = principal;
    grace_total_ = takes_following ? share(room, *first.grace->steal_following)
                                   : std::max<Ticks>(1, std::min(usual, room / 4));
    voice.delay = {principal, principal + grace_total_};
    return;
  }
  const bool meets = before_end == principal && before_end > before_begin;
  const Ticks room =
      meets ? before_end - before_begin : principal - std::min(before_end, principal);
  grace_total_ = std::min(usual, meets ? room / 2 : room);
  if (meets && first.grace->steal_previous) {
    grace_total_ = share(room, *first.grace->steal_previous);
  }
  grace_total_ = std::clamp<Ticks>(grace_total_, 1, principal);
  grace_begin_ = principal - grace_total_;
  if (!meets) return;
  for (const std::size_t i : voice.chord) {
    const bool stays = is_tied_on(page_part, i) || notes[i].note.grace;
    const Beats end = beats(grace_begin_);
    if (!stays && notes[i].note.onset < end) notes[i].note.end = std::min(notes[i].note.end, end);
  }
}

void NotePlayer::add_grace(std::size_t page_part, const PageNote& note, Ticks begin) {
  const auto moment = [&](int place) {
    return grace_begin_ + grace_total_ * place / note.grace->count;
  };
  const Ticks from = moment(note.grace->place);
  const Ticks to = std::max(from + 1, moment(note.grace->place + 1));
  strike(page_part, note, begin + note.onset, {beats(from), beats(to)});
}

void NotePlayer::follow_slurs(std::size_t page_part, const PageNote& note, std::uint32_t serial) {
  for (auto open = open_.lower_bound({page_part, 0});
       open != open_.end() && open->first.first == page_part; ++open) {
    OpenSlur& each = open->second;
    const bool takes = each.voice == note.voice && each.slur.notes.size() < kLongestSlur &&
                       each.slur.notes.back() != serial;
    if (takes) each.slur.notes.push_back(serial);
  }
  for (const PageSlur& slur : note.slurs) {
    const auto open = open_.find({page_part, slur.number});
    if (slur.begins || open == open_.end()) continue;
    if (open->second.slur.notes.back() != serial) open->second.slur.notes.push_back(serial);
    if (open->second.slur.notes.size() > 1) slurs.push_back(std::move(open->second.slur));
    open_.erase(open);
  }
  for (const PageSlur& slur : note.slurs) {
    if (slur.begins) open_[{page_part, slur.number}] = {{{serial}}, note.voice};
  }
}

}  // namespace arsis
