// A piece with its engraved staves, kept: the score, the two excerpts that two systems show, and
// what the engraving library answers to them.
#pragma once

#include <filesystem>
#include <fstream>
#include <pugixml.hpp>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "musicxml/excerpt_writer.h"
#include "musicxml/score_reader.h"
#include "page/engraver.h"
#include "page/engraving.h"

namespace arsis::test {

inline std::filesystem::path engraved_file(const std::string& name) {
  return std::filesystem::path(ARSIS_SOURCE_DIR) / "tests/page/engraved" / name;
}

inline std::string kept(const std::string& name) {
  std::ifstream file(engraved_file(name), std::ios::binary);
  std::stringstream text;
  text << file.rdbuf();
  if (text.str().empty()) throw std::invalid_argument("nothing is kept in " + name);
  return text.str();
}

// A pickup, a repeat of three bars of 3/4, a last bar: measures 0 1 2 3 1 2 3 4 as played.
inline PrintedScore engraved_piece() {
  Result<PrintedScore> read = read_musicxml(engraved_file("piece.musicxml"));
  if (!read) throw std::invalid_argument(to_string(read.diagnostics().front()));
  return *std::move(read);
}

// Its two systems; they share measure 3, whose last beat is an upbeat.
inline constexpr Span kFirstSystem{{0.0}, {9.0}};
inline constexpr Span kSecondSystem{{9.0}, {22.0}};

inline const ExcerptWriter& excerpt_writer() {
  static const Result<ExcerptWriter> writer = ExcerptWriter::read(engraved_file("piece.musicxml"));
  return *writer;
}

inline EngravedIds excerpt_ids() {
  return [](std::string_view id) -> std::optional<EngravedId> {
    const auto note = excerpt_writer().note(id);
    if (!note) return std::nullopt;
    return EngravedId{note->measure, note->id};
  };
}

// Pictures of the two systems.
inline std::vector<std::string> answers() {
  const auto read = read_answer(kept("answer.txt"), 2);
  if (!read) throw std::invalid_argument(to_string(read.diagnostics().front()));
  return *read;
}

inline std::vector<double> numbers(const pugi::xml_attribute& attribute) {
  std::string text = attribute.value();
  for (char& letter : text) {
    if (std::string_view("0123456789.-").find(letter) == std::string_view::npos) letter = ' ';
  }
  std::istringstream words(text);
  std::vector<double> numbers;
  for (double number = 0.0; words >> number;) numbers.push_back(number);
  return numbers;
}

}  // namespace arsis::test
