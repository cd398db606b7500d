// Writes the demo scores into the folder that is named, or this one.
#include <cstdio>
#include <filesystem>

#include "base/files.h"
#include "pieces.h"

int main(int argc, char** argv) {
  const std::filesystem::path folder = argc > 1 ? argv[1] : ".";
  for (const arsis::demo::Piece& piece : arsis::demo::pieces()) {
    const std::filesystem::path path = folder / piece.file;
    const auto bytes = arsis::write_midi(piece.make(), path.string());
    if (!bytes || !arsis::write_file(path, *bytes)) {
      std::fprintf(stderr, "%s could not be written\n", path.string().c_str());
      return 1;
    }
  }
  return 0;
}
