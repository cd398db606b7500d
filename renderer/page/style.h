// How the pictures look: one style sheet of plain classes, and the kinds of text with their sizes.
//
// Classes of what is drawn, for those who restyle it or listen to it:
//   block motif|phrase|sentence   a <g> for each block, with data-block="2.1.3"; beside them `main`
//                                 for a block that leads its parent. It holds:
//     curve   the block's arc      goal   a point on top of it, where its goal lies
//     name    the block's name     foot   a motif's mark, u or /, as a stroke
//     divider where it ends        touch  an area to click, not seen
//   drop      from a goal down to its note
//   line      of the staves' pitches    octave   further Cs, dotted
//   bar, beat, bar-number, signature    what counts time; `faint` under the notes, `last` at the
//   end head, tail, drum; melody            where notes begin, how long they last; percussion
//   sign, sign-word                     accents, staccato, fermatas and their kin; sf and fp
//   staff                               an engraved staff; in it:
//     engraved  a note, with data-id    beyond  dims what belongs to other systems
//   ceiling   the band under the written dynamics      ceiling-line   its upper edge
//   other-ceiling                       of parts with dynamics of their own, dashed
//   dynamic, held, hairpin              written dynamics; what holds from the line before
//   level, level-line                   notes of the performance; the melody joined
//   accompaniment                       beside `level`: all other notes
//   tempo, written-tempo, tempo-mark    the performance's tempo, the score's, its number
//   second    beside level-line and tempo: a further course
//   scale, remark, legend, title, subtitle, running, folio    words
//   ask, answer                         words of a question; `tick` a box to tick, its cross;
//   rule      a line to write on        reach   where something lies that an answer means
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/units.h"

namespace arsis {

// A kind of text: one class of the style sheet.
enum class TextKind : std::uint8_t {
  kTitle,
  kSubtitle,
  kRunning,
  kFolio,
  kSentenceName,
  kPhraseName,
  kMotifName,
  kBarNumber,
  kSignature,
  kGreatSignature,
  kDynamic,
  kHeld,
  kSign,
  kScale,
  kTempoMark,
  kRemark,
  kLegend,
  kAsk,
  kAnswer,
};

// Its class, or classes, as an attribute has them.
std::string_view class_of(TextKind kind);
// From one line's base to the next where it runs over several.
Millimetres leading(TextKind kind);
// The height of its capitals and digits.
Millimetres cap_height(TextKind kind);

// At most how wide the text is set, whatever font of the style sheet's list is there: by the widest
// of them. Source: advance widths of DejaVu Serif 2.37, rounded up; other letters than ASCII count
// as a whole em.
Millimetres text_width(std::string_view text, TextKind kind);

// The text, or as much of it as fits with an ellipsis after it.
std::string fitted(std::string_view text, TextKind kind, Millimetres width);

// The style sheet, the text of one <style>: tenths of a millimetre, no variables (librsvg knows
// none).
std::string page_style();

}  // namespace arsis
