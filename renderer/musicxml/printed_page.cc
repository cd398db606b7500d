#include "musicxml/printed_page.h"

#include <algorithm>
#include <tuple>

namespace arsis {
namespace {

class PageMarks {
 public:
  PageMarks(PlayedPage& played, Printed& printed) : played_(played), printed_(printed) {}

  void add_all() {
    add_slurs();
    for (const PlayedSign& sign : played_.signs) {
      if (sign.sign->kind == SignKind::kForteMark) mark_moment(sign, Mark::kSforzato);
      if (sign.sign->kind == SignKind::kFortePiano) mark_moment(sign, Mark::kFortePiano);
      if (sign.sign->kind == SignKind::kFermata) {
        printed_.fermatas.push_back(
            {{beats(sign.at), beats(sign.at + sign.sign->length)}, sign.sign->place});
      }
    }
    for (std::size_t i = 0; i < played_.notes.size(); ++i) add_note(i);
    std::ranges::stable_sort(printed_.marks, {}, &PrintedMark::note);
    std::ranges::stable_sort(printed_.fermatas, {},
                             [](const PrintedFermata& each) { return each.span.begin; });
    std::ranges::stable_sort(printed_.breaths, {}, &PrintedBreath::at);
  }

 private:
  Beats beats(Ticks ticks) const { return beats_of(ticks, played_.page.division); }

  void add_slurs() {
    for (const PlayedSlur& slur : played_.slurs) {
      const auto note = [&](std::uint32_t serial) -> PlayedPageNote& {
        return played_.notes[played_.kept[serial]];
      };
      const bool dotted = std::ranges::all_of(slur.notes, [&](std::uint32_t serial) {
        return note(serial).marks.has(Mark::kStaccato) || note(serial).marks.has(Mark::kPortato);
      });
      if (dotted) {
        for (const std::uint32_t serial : slur.notes) {
          note(serial).marks.remove(Mark::kStaccato);
          note(serial).marks.add(Mark::kPortato);
        }
      }
      printed_.slurs.push_back({played_.kept[slur.notes.front()], played_.kept[slur.notes.back()]});
    }
    std::ranges::sort(printed_.slurs, {},
                      [](const PrintedSlur& slur) { return std::pair(slur.first, slur.last); });
  }

  // The notes that begin at the sign, grace notes aside.
  void mark_moment(const PlayedSign& sign, Mark mark) {
    if (by_moment_.empty()) list_by_moment();
    const auto written = [&](std::uint32_t i) { return played_.notes[i].written; };
    auto here = std::ranges::lower_bound(by_moment_, sign.at, {}, written);
    for (; here != by_moment_.end() && written(*here) == sign.at; ++here) {
      const std::uint32_t i = *here;
      const PlayedPageNote& note = played_.notes[i];
      const bool holds = note.page_part == sign.page_part && !note.note.grace &&
                         (sign.sign->staff == 0 || sign.sign->staff == note.page->staff);
      if (holds) printed_.marks.push_back({mark, i, sign.sign->place});
    }
  }

  void list_by_moment() {
    by_moment_.resize(played_.notes.size());
    for (std::uint32_t i = 0; i < by_moment_.size(); ++i) by_moment_[i] = i;
    std::ranges::stable_sort(by_moment_, {},
                             [&](std::uint32_t i) { return played_.notes[i].written; });
  }

  void add_note(std::size_t index) {
    const PlayedPageNote& note = played_.notes[index];
    const Place place = note.page->place;
    if (note.caesura || note.marks.has(Mark::kBreath)) {
      std::vector<bool> parts(played_.part_count);
      if (note.caesura) {
        for (const auto& part : played_.staves[note.page_part]) {
          if (part) parts[*part] = true;
        }
      }
      parts[note.note.part] = true;
      add_breath({note.note.end, std::move(parts), place});
    }
    for (const Mark mark : kEveryMark) {
      if (mark == Mark::kBreath || !note.marks.has(mark)) continue;
      printed_.marks.push_back({mark, static_cast<std::uint32_t>(index), place});
    }
  }

  // A chord breathes once.
  void add_breath(PrintedBreath breath) {
    const bool again = !printed_.breaths.empty() && printed_.breaths.back().at == breath.at &&
                       printed_.breaths.back().parts == breath.parts;
    if (!again) printed_.breaths.push_back(std::move(breath));
  }

  PlayedPage& played_;
  Printed& printed_;
  std::vector<std::uint32_t> by_moment_;  // notes in the order they are printed
};

void add_dynamics(const PlayedPage& played, Printed& printed) {
  std::vector<std::vector<PlayedSign>> by_part(played.page.parts.size());
  for (const PlayedSign& sign : played.signs) by_part[sign.page_part].push_back(sign);
  for (std::size_t i = 0; i < by_part.size(); ++i) {
    const std::vector<PrintedDynamic> dynamics = printed_dynamics(
        by_part[i], played.staves[i], played.part_count, played.page.division, played.end);
    printed.dynamics.insert(printed.dynamics.end(), dynamics.begin(), dynamics.end());
  }
  std::ranges::stable_sort(printed.dynamics, {}, [](const PrintedDynamic& dynamic) {
    return std::tuple(dynamic.from, dynamic.from < dynamic.to);
  });
}

}  // namespace

Printed printed_page(PlayedPage& played, const std::string& file) {
  Printed printed;
  printed.file = file;
  printed.fermatas = std::move(played.fermatas);
  add_dynamics(played, printed);
  PageMarks(played, printed).add_all();
  printed.note_ids.reserve(played.notes.size());
  for (const PlayedPageNote& note : played.notes) printed.note_ids.push_back(note.page->id);
  return printed;
}

}  // namespace arsis
