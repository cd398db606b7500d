// A performance on its way to a file, and what the commands that write performances share.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/audio_file.h"
#include "sound/rendering.h"
#include "tool/audio_options.h"

namespace arsis {

// One file to be written.
struct RenderJob {
  std::filesystem::path output;
  std::filesystem::path plan;
  std::filesystem::path written;  // the score that the plan names
  std::string title;
  std::string version;  // "flat"; empty: the only one
  Score score;
  Performance performance;
};

// What audio is made with.
struct SoundSource {
  const AudioRequest& audio;  // outlives it
  std::filesystem::path soundfont;
};

// By its ending: .mid, .midi.
bool is_midi(const std::filesystem::path& path);

// Errors of the command line: the ending names no format that is written, or the format does not
// take the rate and depth (not asked where `audio` is none, being at fault itself).
Diagnostics output_usage(const std::string& output, const std::optional<AudioRequest>& audio);

// What the request says of a file, its tags left empty.
AudioSettings settings_of(const AudioRequest& audio);

// Whether writing would destroy what a performance of the run is made from; says so.
bool destroys_an_input(std::span<const RenderJob> jobs);
// Whether the file to be written is the SoundFont that sounds it; says so.
bool destroys_the_soundfont(const std::filesystem::path& output,
                            const std::filesystem::path& soundfont);

// The job's sound, with a progress line called `what`. Reports errors and warnings itself. None:
// with the exit code for it in `code`.
std::optional<Rendered> render_job(const RenderJob& job, const SoundSource& source,
                                   bool measures_loudness, std::string_view what, int& code);

// Writes each job to an audio file of its own, all with one gain, and tells of each. Every file is
// begun before the first is rendered, so that what cannot be written is said before the work.
// Reports errors and warnings itself; the exit code.
int write_audio_set(std::span<const RenderJob> jobs, const SoundSource& source);

}  // namespace arsis
