// What the pages that carry their sound share: the head with its policy, the title, the volume and
// the caution, drawn systems, sounds.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "page/embedded.h"
#include "page/system.h"

namespace arsis {

// Said wherever a page lets one turn up sound and hear it again and again.
inline constexpr std::string_view kCaution =
    "Begin at a comfortable level and turn up slowly, above all with headphones; rest your ears "
    "when you repeat a passage many times.";

// Up to </head>: a Content-Security-Policy that lets nothing load and only this script run, the
// title, the style sheets of the pictures and of the page.
//   title  any bytes
void add_head(std::string& html, std::string_view title, const PageScript& script);

// A <header> with the title and, if it is not empty, the line under it; any bytes.
void add_header(std::string& html, std::string_view title, std::string_view subtitle);

// The slide that sets the volume, #volume.
void add_volume(std::string& html);
void add_caution(std::string& html);

// <div class="systems SET">, one .system around each drawing.
//   set  "wide" or "narrow"
void add_systems(std::string& html, std::string_view set, std::span<const DrawnSystem> systems);

// A script element of class `sound` that is none, the bytes in base64.
void add_sound(std::string& html, std::span<const std::uint8_t> opus);

// #data, then the sounds (as they are), then the script and the end of the page.
//   json  well-formed
void add_data(std::string& html, std::string_view json);
void add_end(std::string& html, const PageScript& script);

}  // namespace arsis
