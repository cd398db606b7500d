// A performance as a Standard MIDI File.
#pragma once

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "smf/midi_file.h"

namespace arsis {

// Where the timing goes.
//   kTempoMap  into tempo events: every note stays on its written bar and beat, but for lead and
//              breath
//   kTicks     into the notes: one tempo throughout, the score's first (between 20 and 1200 quarter
//              notes a minute)
enum class TimingForm { kTempoMap, kTicks };

// The file. Its division is the smallest multiple of the score's that is at least 960.
//
// Notes sound within half a tick of the performance's time, as the written tempo events have it: a
// tempo's rounding is made up for in the next one, and a note's tick is found through the rounded
// tempos. Of one key and channel no two overlap, and each lasts a tick or more.
//
// Messages stay in their track at their moment of the score, except where a note is played beside
// its beat: see keep_order(). Within a tick come tempos, then ends of notes, then messages and
// beginnings of notes as the score's file had them. So a pedal that goes down with a chord does not
// catch the chord before, and a key that is struck again sounds again.
//
// An end of track stays at its moment, or comes with its track's last event if that is later.
MidiFile midi_of(const Score& score, const Performance& performance, TimingForm form);

}  // namespace arsis
