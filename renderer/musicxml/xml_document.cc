#include "musicxml/xml_document.h"

#include <iconv.h>

#include <algorithm>

#include "base/text.h"

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

// The encoding that iconv is to read, of those that exports use beside UTF-8; null for that. By its
// first bytes (XML 1.0, appendix F), or as the declaration says.
const char* foreign_encoding(std::string_view text) {
  using namespace std::string_view_literals;
  if (text.starts_with("\xFF\xFE"sv) || text.starts_with("<\0"sv)) return "UTF-16LE";
  if (text.starts_with("\xFE\xFF"sv) || text.starts_with("\0<"sv)) return "UTF-16BE";
  const std::string head = lower_case(text.substr(0, std::min<std::size_t>(text.find("?>"), 200)));
  if (!head.starts_with("<?xml")) return nullptr;
  if (head.find("iso-8859-1\"") != std::string::npos ||
      head.find("iso-8859-1'") != std::string::npos ||
      head.find("windows-1252") != std::string::npos) {
    return "WINDOWS-1252";  // Latin-1 and what stands where it has nothing
  }
  return nullptr;
}

// Line by line what it was; up to what is no text of that encoding.
std::string as_utf8(std::string_view text, const char* encoding) {
  const iconv_t way = iconv_open("UTF-8", encoding);
  if (way == reinterpret_cast<iconv_t>(-1)) return std::string(text);
  std::string made(text.size() * 3 + 4, '\0');  // the most that a character of them takes
  char* from = const_cast<char*>(text.data());  // iconv does not write there
  std::size_t from_left = text.size();
  char* to = made.data();
  std::size_t to_left = made.size();
  iconv(way, &from, &from_left, &to, &to_left);
  iconv_close(way);
  made.resize(made.size() - to_left);
  return made;
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
  if (const char* encoding = foreign_encoding(text)) {
    converted = as_utf8(text, encoding);
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
