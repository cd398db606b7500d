// A lesson of two questions, with bytes in place of sounds and empty drawings, for tests.
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "page/lesson_page.h"

namespace arsis {

inline constexpr const char* kUnfriendlyText =
    "</script></template><img src=x onerror=\"go()\"><!--'&\xff";

inline DrawnSystem stub_system(const std::string& name) {
  DrawnSystem system;
  system.span = {{4.0}, {12.0}};
  system.svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"" + name + "\"></svg>";
  system.width = {190.0};
  system.height = {60.0};
  system.waypoints = {{{4.0}, {10.0}}, {{12.0}, {188.0}}};
  return system;
}

inline LessonChoice stub_choice(const std::string& label, Bytes opus) {
  LessonChoice choice;
  choice.label = label;
  choice.opus = std::move(opus);
  choice.time = TimeMap({{{0.0}, {0.5}}, {{8.0}, {4.5}}});
  choice.moved = {-4.0};
  choice.length = {5.25};
  choice.picture = {stub_system("wide-" + label)};
  choice.narrow = {stub_system("narrow-" + label)};
  return choice;
}

inline Bytes every_byte() {
  Bytes bytes(256);
  for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<std::uint8_t>(i);
  return bytes;
}

inline LessonPage small_lesson() {
  LessonPage page;
  page.title = "A class that listens";
  page.items.resize(2);
  page.items[0] = {"Which motif leads?",
                   "Lantern Song, bars 1 to 3",
                   {4.0},
                   {stub_choice("one", {1, 2, 3}), stub_choice("two", every_byte()),
                    stub_choice("three", {7, 8})},
                   1,
                   2.0,
                   {},
                   {}};
  page.items[0].notes = {stub_system("wide-notes")};
  page.items[0].notes_narrow = {stub_system("narrow-notes")};
  page.items[1] = {"Flat or shaped?",
                   "",
                   {4.0},
                   {stub_choice("flat", {9}), stub_choice("shaped", {10, 11})},
                   0,
                   0.505,
                   {},
                   {}};
  return page;
}

inline std::size_t count_of(const std::string& text, const std::string& word) {
  std::size_t found = 0;
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    ++found;
  }
  return found;
}

// What stands between two words, at each place where the first stands.
inline std::vector<std::string> all_between(const std::string& text, const std::string& begin,
                                            const std::string& end) {
  std::vector<std::string> found;
  for (std::size_t at = text.find(begin); at != std::string::npos; at = text.find(begin, at + 1)) {
    const std::size_t from = at + begin.size();
    found.push_back(text.substr(from, text.find(end, from) - from));
  }
  return found;
}

}  // namespace arsis
