// Published measures of how strongly a melody parts between two of its notes, each as its source
// has it. All depend on proportions only: a melody transposed or played at another speed gives the
// same.
#pragma once

#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

// A note of a single line. The line is in order of onsets; an end may lie past the next onset.
struct LineNote {
  Beats onset;
  Beats end;
  int key = 60;  // MIDI note number
};

// Inter-onset interval from a note to the next, and the rest between them, at least 0. `index` is
// below the number of notes less one.
Beats interval_after(std::span<const LineNote> line, std::size_t index);
Beats rest_after(std::span<const LineNote> line, std::size_t index);

// Mean inter-onset interval; of fewer than two notes 1 quarter note.
Beats mean_interval(std::span<const LineNote> line);

// Boundary strength after each note but the last, ratio 0..1: how much pitch interval, inter-onset
// interval and rest differ from their neighbours', each against its maximum, weighted .25, .5, .25.
// Empty for fewer than two notes.
// Source: Cambouropoulos 2001, The local boundary detection model, Proc. ICMC.
std::vector<double> local_boundaries(std::span<const LineNote> line);

// 500 (inter-onset interval + offset-to-onset interval) / mean inter-onset interval: a ratio, in
// the source's own units, in which 500 is a note of mean length that is followed at once.
// Source: Temperley 2001, The Cognition of Basic Musical Structures, chapter 3; the authors'
// published program "grouper" (2000).
double gap_score(Beats interval, Beats rest, Beats mean);

// 600 |log2(notes / preferred)|: what a phrase of so many notes costs, in the units of gap_score.
// `notes` is at least 1. Source: as gap_score; the program prefers 10 notes, its comment says 8.
double length_penalty(int notes, double preferred = 10.0);

// What a phrase costs that begins elsewhere in its metrical period than the one before: 0 at the
// same place, 150 half a period off, else 300. `shift` is a ratio to the period, any number.
// Source: as gap_score.
double phase_penalty(double shift);

// Proximity: the middle of three inter-onset intervals is the longest. 1 - (a + c) / (2 b), 0 where
// it is not. Source: Frankland and Cohen 2004, Music Perception 21, rule 2b.
double proximity(Beats before, Beats interval, Beats after);

// Change of register: the middle of three melodic intervals, in semitones of either sign, is the
// largest; the same formula. Source: as proximity, rule 3a.
double register_change(int before, int interval, int after);

// Change of length between two notes: 1 - short / long; 0 where one has no length. Source: as
// proximity, rule 3d.
double length_change(Beats first, Beats second);

}  // namespace arsis
