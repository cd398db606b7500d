// Writes the MIDI files of the demo pieces into the folder given (or the present one).
#include <cstdio>
#include <filesystem>

#include "base/files.h"
#include "piece.h"

namespace {

using namespace arsis;

bool report(const Diagnostics& diagnostics) {
  for (const Diagnostic& diagnostic : diagnostics) {
    std::fprintf(stderr, "%s\n", to_string(diagnostic).c_str());
  }
  return !has_errors(diagnostics);
}

bool make(const Piece& piece, const std::filesystem::path& folder) {
  const Result<Bytes> bytes = midi_bytes_of(piece);
  if (!bytes) return report(bytes.diagnostics());
  return report(write_file(folder / piece.file, *bytes).diagnostics());
}

}  // namespace

int main(int count, char** words) {
  if (count > 2) {
    std::fprintf(stderr, "usage: make_scores [FOLDER]\n");
    return 2;
  }
  const std::filesystem::path folder = count == 2 ? words[1] : ".";
  bool all_made = true;
  for (const Piece& piece : demo_pieces()) all_made = make(piece, folder) && all_made;
  return all_made ? 0 : 1;
}
