// The single values of a plan: positions, lengths, quantities with units, words of a list. Each
// reader says what is wrong with a value where it stands, and what would be accepted.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "plan/plan.h"
#include "plan/yaml_tree.h"

namespace arsis {

// What a reader needs to complain: the file's name and the list of all complaints.
struct PlanText {
  // After this many errors the reader goes on in silence: the rest would not be read anyway. Doubts
  // never take an error's place.
  static constexpr std::size_t kMostErrors = 100;
  static constexpr std::size_t kMostDoubts = 100;
  bool full() const { return errors >= kMostErrors; }

  std::string file;
  Diagnostics diagnostics;
  std::size_t errors = 0;  // found, those passed over in silence included
  std::size_t doubts = 0;

  void refuse(Place place, std::string problem, std::string remedy);
  void doubt(Place place, std::string problem, std::string remedy);
  void doubt(Where where, std::string problem, std::string remedy);  // in another file
};

// A map whose keys are all among `known`; others are refused, with the nearest known one offered.
class MapReader {
 public:
  // `what` names the map in messages: "a sentence". A node that is no map is refused.
  MapReader(const YamlNode& node, std::string_view what, std::span<const std::string_view> known,
            PlanText& text);
  bool is_map() const { return node_.kind == YamlNode::Kind::kMap; }
  Place place() const { return node_.place; }
  // The key's value, or nullptr.
  const YamlNode* find(std::string_view key) const;
  // The same, and refuses a map without it.
  const YamlNode* require(std::string_view key) const;

 private:
  const YamlNode& node_;
  std::string what_;
  PlanText& text_;
};

// A piece of text on one line. `what` names the value in messages, as everywhere below.
std::optional<std::string> read_text(const YamlNode& node, std::string_view what, PlanText& text);
std::optional<int> read_whole_number(const YamlNode& node, std::string_view what, int least,
                                     int most, PlanText& text);
std::optional<bool> read_yes_no(const YamlNode& node, std::string_view what, PlanText& text);
// The index of the node's word in `words`.
std::optional<std::size_t> read_choice(const YamlNode& node, std::string_view what,
                                       std::span<const std::string_view> words, PlanText& text);
// "9:3", "9:3.5", "9:3+1/3".
std::optional<WrittenPosition> read_position(const YamlNode& node, std::string_view what,
                                             PlanText& text);
// "1 bar", "1/2 beat", "2 bars"; 0.001 to 1000 of either.
std::optional<WrittenLength> read_length(const YamlNode& node, std::string_view what,
                                         PlanText& text);
// A number in the constant's unit and range, in the unit of the table ("0.02 s" is 20 ms).
std::optional<double> read_quantity(const YamlNode& node, const ConstantInfo& info, PlanText& text);

// "1 bar", "1/2 beat", as it stands in a plan or on a command line; its place is left out.
std::optional<WrittenLength> parse_length(std::string_view text);

// "9:3+1/3", or "9:3/2nd" for the second time that the bar is played, as it stands in a plan or on
// a command line.
std::optional<Position> parse_position(std::string_view text);

}  // namespace arsis
