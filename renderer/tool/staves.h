// The engraved staves of a piece, where its score is a page of MusicXML.
#pragma once

#include "page/sheet.h"
#include "tool/load.h"

namespace arsis {

// Empty where the score is none of MusicXML. Where the staves cannot be engraved is no error: the
// notes are drawn plainly then, and one warning, reported once, says why.
//   loaded  outlives it
FieldSource staves_of(const Loaded& loaded);

}  // namespace arsis
