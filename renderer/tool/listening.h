// The listening page of `arsis page PLAN -o FILE.html`: what sounds in it, and what its script is
// told.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "page/picture.h"
#include "page/sheet.h"
#include "tool/level_options.h"
#include "tool/load.h"
#include "tool/passage_options.h"
#include "tool/take_file.h"

namespace CLI {
class App;
}

namespace arsis {

struct ListeningOptions {
  std::vector<std::string> readings;  // plans
  std::vector<std::string> versions;  // as of render; empty: flat, shaped, each level alone
  LevelOptions levels;
  std::string soundfont;
  std::string reverb = "on";
};

void add_listening_options(CLI::App& command, ListeningOptions& options);

// Whether any of the words is given: they mean nothing for a picture.
bool asks_for_sound(const ListeningOptions& options);

struct ListeningRequest {
  const Loaded& loaded;
  const Passage& passage;
  const Picture& picture;     // its layers are those of the voice "shaped"
  const FieldSource& staves;  // of its systems; may be empty
  const AlignedTake* take;    // to be heard as well; may be null
  const std::string& plan;    // as on the command line
  const std::string& output;  // the file to be written
};

// Voices of one page: more would take too long to make and to choose from.
inline constexpr std::size_t kMostVoices = 12;
// Of all voices together: with it a page takes some 20 MB and a minute or so to make.
inline constexpr Seconds kLongestVoices{7200.0};

// The page's file. Reports errors and warnings itself. None: with the exit code for it in `code`.
std::optional<std::string> listening_html(const ListeningRequest& request,
                                          const ListeningOptions& options, int& code);

}  // namespace arsis
