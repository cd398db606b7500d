// Sound coded as Opus in memory (libsndfile), for pages and sheets that carry their sound inside.
#pragma once

#include "base/diagnostic.h"
#include "base/files.h"
#include "base/units.h"
#include "sound/frame_store.h"

namespace arsis {

struct OpusSettings {
  int sample_rate = 24'000;  // of the frames: 8,000, 12,000, 16,000, 24,000 or 48,000 a second
  int channels = 2;          // 1: the middle between left and right; 2
  int kilobits = 64;         // a second, of all channels together; of each channel 6 to 256
};

// An Ogg Opus file. The same frames give the same bytes: the stream's number, which libsndfile
// draws, is replaced. The bit rate is a mean over music of all kinds: a sparse piece takes less, a
// dense one up to a tenth more.
//   frames  left and right in turn; what lies beyond full level after the gain is clipped
// Errors: the encoder's; the temporary file of the frames.
Result<Bytes> opus_of(FrameStore& frames, Decibels gain, const OpusSettings& settings);

// Gives every page of an Ogg file with a single stream this stream number, with the check sums that
// go with it. What is no Ogg page ends the work.
// Source: RFC 3533 section 6 (page header; CRC of polynomial 0x04c11db7, no reflection).
void number_ogg_stream(Bytes& ogg, std::uint32_t number);

}  // namespace arsis
