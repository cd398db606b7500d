// An XML document that says in which line each of its elements stands (pugixml). Nothing outside of
// it is read: entities of its own are left as they are, and it has no way to others.
#pragma once

#include <memory>
#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

inline bool is_named(pugi::xml_node node, std::string_view name) { return node.name() == name; }

class XmlDocument {
 public:
  static constexpr int kMostDepth = 64;  // MusicXML needs about ten
  // Tags and attributes together: each takes up to some 60 bytes of memory. A note has about 40.
  static constexpr std::size_t kMostMarkup = 16'000'000;
  static constexpr std::size_t kMostLines = 16'000'000;  // eight bytes of memory each

  // `name` is the file's, for messages. Errors: it is no XML (with the line), it is nested deeper
  // than kMostDepth, it has more than kMostMarkup or kMostLines.
  static Result<XmlDocument> parse(std::string_view text, const std::string& name);

  pugi::xml_node root() const { return document_->document_element(); }
  // Line and column of a node, from 1.
  Where where(pugi::xml_node node) const { return place_of(node.offset_debug()); }

 private:
  XmlDocument() : document_(std::make_unique<pugi::xml_document>()) {}
  Where place_of(std::ptrdiff_t offset) const;

  std::string file_;
  std::unique_ptr<pugi::xml_document> document_;
  std::vector<std::ptrdiff_t> lines_;  // offsets at which lines begin
};

}  // namespace arsis
