// The scripts and style sheets of the pages, made part of the program when it is built
// (shared/embed.cmake). Inside of page/ only.
#pragma once

#include <string_view>

namespace arsis {

struct PageScript {
  std::string_view text;
  std::string_view sum;  // SHA-256 of `text`, 64 hexadecimal digits
  std::string_view style;
};

extern const PageScript kListeningScript;
extern const PageScript kLessonScript;

}  // namespace arsis
