// The engraving library, asked in a process of its own: it is not part of the program, runs in
// node, and is there where renderer/page/engraver/install.sh has fetched it.
#pragma once

#include <chrono>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "page/engraving.h"

namespace arsis {

struct Engraver {
  std::filesystem::path folder;  // in which npm has put the library
  std::string node = "node";     // the program, in PATH or by its path
  std::chrono::milliseconds patience{60'000};
};

struct EngraverSearch {
  std::string environment;      // value of ARSIS_ENGRAVER, a folder; empty: none
  std::filesystem::path cache;  // as cache_folder() gives it; empty: none
};

// The environment's folder; without one that of the version that we know in the cache. Errors: the
// library is in neither, with what would bring it.
Result<Engraver> find_engraver(const EngraverSearch& search);

struct EngravingTask {
  std::string musicxml;
  EngravedUnits width;  // that it is spread to; one that does not fit becomes wider
};

// An SVG for each excerpt, one system on one page; empty where the library cannot read it. Many are
// shared among processes, at most four, and come in their order all the same. Errors:
// node is not there or the library fails in it, takes longer than the engraver's patience, or
// answers what is none.
Result<std::vector<std::string>> engrave(const Engraver& engraver,
                                         std::span<const EngravingTask> excerpts);

// What engrave() makes of the answer of its process for so many excerpts. Errors: it is none.
Result<std::vector<std::string>> read_answer(std::string_view answer, std::size_t excerpts);

}  // namespace arsis
