// libsmf as the decoder of what the guard let through.
#pragma once

#include <string>

#include "base/diagnostic.h"
#include "smf/midi_file.h"

namespace arsis {

// Has libsmf decode every event of the file that it can hold (channel messages and short meta
// events; not tempo, long metas and exclusives, at which it fails or slows down) and checks that it
// finds the same messages at the same ticks as the guard. An event that differs is an error: one of
// the two is wrong, and a performance made of it could be too.
Result<Done> check_with_libsmf(const MidiFile& file, const std::string& name);

}  // namespace arsis
