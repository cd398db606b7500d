// Plays the page's notes, one measure after another: ties become one note, grace notes take their
// time, slurs find their notes.
#pragma once

#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "musicxml/played.h"
#include "plan/printed.h"

namespace arsis {

class NotePlayer {
 public:
  // `first_parts`: of each part of the page, the index of its first staff among the score's parts.
  NotePlayer(int division, std::vector<std::size_t> first_parts)
      : division_(division), first_parts_(std::move(first_parts)) {}

  // The notes of one part in a measure that begins at `begin`. Measures come in the order they are
  // played.
  void add(std::size_t page_part, const PartMeasure& measure, Ticks begin);

  // In the order they were played. Grace notes are played before their principal note: an eighth of
  // a quarter note each, all of them at most half of the note before in their voice, which ends
  // that much earlier. Where nothing is before them, at the very beginning, or where the file says
  // that they take from their principal note, they begin with the beat and it waits for them.
  // Common practice, no source; MusicXML 4.0, element `grace`.
  std::vector<PlayedPageNote> notes;
  std::vector<PlayedSlur> slurs;
  std::vector<PrintedFermata> fermatas;  // over notes

 private:
  struct Voice {
    std::vector<std::size_t> chord;                // that was played last, indices into `notes`
    Ticks begin = 0;                               // where it is printed
    std::optional<std::pair<Ticks, Ticks>> delay;  // from where to where the next chord waits
  };
  struct OpenTie {
    std::size_t note = 0;  // index into `notes`
    int staff = 1;
    int voice = 1;
  };
  struct OpenSlur {
    PlayedSlur slur;
    int voice = 1;
  };

  Beats beats(Ticks ticks) const { return beats_of(ticks, division_); }
  Ticks ticks(Beats at) const;
  void set_loudness(std::size_t page_part, const PartMeasure& measure, Ticks begin);
  double loudness_at(std::size_t page_part, Ticks at) const;
  void add_note(std::size_t page_part, const PageNote& note, Ticks begin);
  void begin_graces(std::size_t page_part, const PageNote& first, Ticks begin);
  void add_grace(std::size_t page_part, const PageNote& note, Ticks begin);
  bool goes_on(std::size_t page_part, const PageNote& note, Ticks begin);
  std::vector<OpenTie>::iterator open_tie(std::vector<OpenTie>& open, const PageNote& note,
                                          Beats at) const;
  bool is_tied_on(std::size_t page_part, std::size_t note) const;
  void strike(std::size_t page_part, const PageNote& note, Ticks written, Span span);
  void follow_slurs(std::size_t page_part, const PageNote& note, std::uint32_t serial);
  Voice& voice_of(std::size_t page_part, const PageNote& note) {
    return voices_[{page_part, note.voice}];
  }

  int division_;
  std::vector<std::size_t> first_parts_;
  std::map<std::pair<std::size_t, int>, Voice> voices_;                    // by part and voice
  std::map<std::pair<std::size_t, int>, std::vector<OpenTie>> tied_;       // by part and key
  std::map<std::pair<std::size_t, int>, OpenSlur> open_;                   // by part and number
  std::map<std::size_t, std::vector<std::pair<Ticks, double>>> loudness_;  // by part; rising
  Ticks grace_begin_ = 0;  // of the group that is being played
  Ticks grace_total_ = 0;
};

}  // namespace arsis
