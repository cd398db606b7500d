// A MusicXML file's text: plain, or out of its compressed container (.mxl).
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "base/files.h"

namespace arsis {

// More than any score needs: a symphony exports to some 50 MB.
inline constexpr std::size_t kMostXmlBytes = std::size_t{128} << 20;

// The bytes of the score. A container is told by its first bytes, whatever the file is called: in
// it META-INF/container.xml names the score (MusicXML 4.0, "Compressed .mxl files"); without that
// the first file that ends in .musicxml or .xml is taken, with a warning. Errors: the file cannot
// be read or is too large; the container is damaged, holds no score, or unpacks to more than
// kMostXmlBytes (a bomb).
Result<std::string> read_musicxml_text(const std::filesystem::path& path);

// The same of bytes that were read; `name` is the file's, for messages.
Result<std::string> musicxml_text_of(const Bytes& bytes, const std::string& name);

}  // namespace arsis
