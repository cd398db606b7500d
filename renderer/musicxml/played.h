// The page as it is played: every pass written out, times counted from the beginning of the score.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "musicxml/page.h"
#include "score/score.h"

namespace arsis {

struct PlayedPageNote {
  Note note;
  std::uint16_t page_part = 0;  // index into Page::parts
  std::uint32_t serial = 0;     // in the order of playing out
  Ticks written = 0;            // where it is printed; graces and what waits for them are not there
  MarkSet marks;                // of all its tied notes, as far as they matter
  bool caesura = false;         // after it
  const PageNote* page = nullptr;  // the first of its tied notes
};

struct PlayedSlur {
  std::vector<std::uint32_t> notes;  // serial numbers, in its voice
};

struct PlayedSign {
  Ticks at = 0;
  std::optional<Ticks> to;  // of a hairpin whose end is printed
  std::uint16_t page_part = 0;
  const PageSign* sign = nullptr;
};

struct PlayedTempo {
  Ticks at = 0;
  std::optional<Ticks> to;
  TimeSignature signature;
  const PageTempo* tempo = nullptr;  // null: the tempo is again
  std::optional<Ticks> as_at = {};   // what it was at this earlier moment
};

}  // namespace arsis
