// Changes a plan's own text where it says what leads, and leaves all the rest as it was written:
// remarks, layout, order.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/plan.h"

namespace arsis {

// Which member leads each block, by its index there.
struct ChosenMains {
  std::vector<std::size_t> phrases;  // of all sentences, those that are like others included
  std::vector<std::size_t> sentences;
  std::optional<std::size_t> piece;

  friend bool operator==(const ChosenMains&, const ChosenMains&) = default;
};

// What the plan says of that; a sentence that is like another has the other's phrases.
ChosenMains mains_of(const Plan& plan);

// `text`, of which `plan` was read, with other mains. Changed are feet, the `main:` of sentences
// and that of the piece where there is one; a `like:` becomes phrases where its mains part from
// those of its model. Phrases in the long form stay as they are: mains_of() what is read from the
// result tells. `text` itself where its places cannot be found.
std::string with_mains_in_text(std::string_view text, const Plan& plan, const ChosenMains& mains);

// `text`, of which `plan` was read and which names no main sentence, with one named: a line of its
// own above `sentences:`. `text` itself where that is not found, or there is a `main:` already.
std::string with_piece_main_in_text(std::string_view text, const Plan& plan, std::size_t main);

// `text` with another score named; none where the name's place cannot be found.
std::optional<std::string> with_score_in_text(std::string_view text, const Plan& plan,
                                              const std::string& score);

}  // namespace arsis
