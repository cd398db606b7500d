// The listening page's script and style sheet, made part of the program when it is built
// (listening/embed.cmake). Inside of page/ only.
#pragma once

#include <string_view>

namespace arsis {

extern const std::string_view kListeningScript;
extern const std::string_view kListeningScriptSum;  // SHA-256, 64 hexadecimal digits
extern const std::string_view kListeningStyle;

}  // namespace arsis
