// Whether two plans are about the same score, so that they can be compared.
#pragma once

#include "base/diagnostic.h"
#include "tool/load.h"

namespace arsis {

// Why the two cannot be compared: they name different files, or read the notes of one file into
// different parts. Nothing where they can.
Diagnostics differing_scores(const Loaded& plan, const Loaded& other);

}  // namespace arsis
