#include "musicxml/xml_document.h"

#include <algorithm>
#include <sstream>

namespace arsis {
namespace {

std::vector<std::ptrdiff_t> lines_of(std::string_view text) {
  std::vector<std::ptrdiff_t> lines = {0};
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\n') lines.push_back(static_cast<std::ptrdiff_t>(i + 1));
  }
  return lines;
}

// Parsed as UTF-8: offsets are those of the text.
pugi::xml_parse_result parse_utf8(pugi::xml_document& document, std::string_view text) {
  return document.load_buffer(text.data(), text.size(), pugi::parse_default, pugi::encoding_utf8);
}

bool is_utf16(std::string_view text) {
  const auto begins = [&](unsigned char a, unsigned char b) {
    return text.size() >= 2 && static_cast<unsigned char>(text[0]) == a &&
           static_cast<unsigned char>(text[1]) == b;
  };
  return begins(0xFF, 0xFE) || begins(0xFE, 0xFF) || begins('<', 0) || begins(0, '<');
}

// Other encodings that pugixml knows, as UTF-8.
std::string as_utf8(std::string_view text) {
  pugi::xml_document document;
  if (!document.load_buffer(text.data(), text.size(), pugi::parse_full)) return std::string(text);
  std::ostringstream out;
  document.save(out, "", pugi::format_raw | pugi::format_no_declaration, pugi::encoding_utf8);
  return out.str();
}

// The first node that is nested too deep, without recursion.
pugi::xml_node too_deep(pugi::xml_node root) {
  int depth = 0;
  for (pugi::xml_node node = root; node;) {
    if (node.first_child()) {
      if (++depth > XmlDocument::kMostDepth) return node;
      node = node.first_child();
      continue;
    }
    while (node && node != root && !node.next_sibling()) {
      node = node.parent();
      --depth;
    }
    if (!node || node == root) break;
    node = node.next_sibling();
  }
  return {};
}

}  // namespace

Where XmlDocument::place_of(std::ptrdiff_t offset) const {
  const auto after = std::ranges::upper_bound(lines_, std::max<std::ptrdiff_t>(offset, 0));
  const std::ptrdiff_t begin = *std::prev(after);
  return {.file = file_,
          .line = static_cast<int>(after - lines_.begin()),
          .column = static_cast<int>(std::max<std::ptrdiff_t>(offset, 0) - begin + 1)};
}

Result<XmlDocument> XmlDocument::parse(std::string_view text, const std::string& name) {
  std::string converted;
  if (is_utf16(text)) {
    converted = as_utf8(text);
    text = converted;
  }
  const auto markup = std::ranges::count(text, '<') + std::ranges::count(text, '=');
  if (static_cast<std::size_t>(markup) > kMostMarkup) {
    return fail({.file = name}, "has more elements than any score", "16 million are read");
  }
  if (static_cast<std::size_t>(std::ranges::count(text, '\n')) >= kMostLines) {
    return fail({.file = name}, "has more lines than any score", "16 million are read");
  }
  XmlDocument made;
  made.file_ = name;
  made.lines_ = lines_of(text);
  const pugi::xml_parse_result result = parse_utf8(*made.document_, text);
  if (!result) {
    return fail(made.place_of(result.offset),
                std::string("is no XML from here on: ") + result.description(),
                "export the score again");
  }
  if (const pugi::xml_node deep = too_deep(made.root())) {
    return fail(made.where(deep), "is nested too deep for a score", "export the score again");
  }
  return made;
}

}  // namespace arsis
