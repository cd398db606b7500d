#include "plan/yaml_tree.h"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <sstream>
#include <unordered_set>

#include "base/text.h"

namespace arsis {
namespace {

// Places as an editor shows them: from 1, columns in characters. yaml-cpp counts from 0, in bytes.
class Places {
 public:
  explicit Places(std::string_view text) : text_(text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      if ((static_cast<unsigned char>(text[i]) & 0xC0) == 0x80) {
        continuation_bytes_.push_back(static_cast<std::uint32_t>(i));
      }
    }
  }

  Place of(const YAML::Mark& mark) const {
    const auto before = [&](int byte) {
      return std::ranges::lower_bound(continuation_bytes_, static_cast<std::uint32_t>(byte)) -
             continuation_bytes_.begin();
    };
    if (mark.pos < mark.column || mark.line < 0) return {};
    const auto extra = static_cast<int>(before(mark.pos) - before(mark.pos - mark.column));
    return {mark.line + 1, mark.column - extra + 1};
  }

  // Behind the text's last character.
  Place behind() const {
    const std::size_t line_begin = text_.find_last_of('\n') + 1;  // 0 where there is none
    YAML::Mark mark;
    mark.pos = static_cast<int>(text_.size());
    mark.line = static_cast<int>(std::ranges::count(text_, '\n'));
    mark.column = static_cast<int>(text_.size() - line_begin);
    return of(mark);
  }

 private:
  std::string_view text_;
  std::vector<std::uint32_t> continuation_bytes_;  // of UTF-8, in order
};

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

// Thrown out of the parser by our own handler to stop it; never leaves this file.
struct Stop {};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(std::string file, const Places& places, Diagnostics& diagnostics)
      : file_(std::move(file)), places_(places), diagnostics_(diagnostics) {}

  YamlNode take() { return std::move(root_); }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ > 1) {
      refuse(mark, "a second document starts here",
             "a plan is one document; remove '---', or indent this line");
      throw Stop();
    }
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    check(mark, {}, anchor);
    add({.kind = YamlNode::Kind::kNothing,
         .place = places_.of(mark),
         .text = {},
         .keys = {},
         .items = {}});
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    refuse(mark, "an alias ('*') has no place in a plan", kNoAnchors);
    add({.kind = YamlNode::Kind::kNothing,
         .place = places_.of(mark),
         .text = {},
         .keys = {},
         .items = {}});
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    check(mark, tag, anchor);
    add({.kind = YamlNode::Kind::kText,
         .place = places_.of(mark),
         .text = value,
         .keys = {},
         .items = {}});
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, YamlNode::Kind::kSequence);
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(mark, tag, anchor, YamlNode::Kind::kMap);
  }
  void OnMapEnd() override { close(); }

 private:
  static constexpr const char* kNoAnchors = "write the value out, or use 'like:' for a sentence";

  struct Open {
    YamlNode node;
    std::unordered_set<std::string> seen;
    bool expects_key = true;
    Place key_place;  // of the key whose value comes next
  };

  void refuse(const YAML::Mark& mark, std::string problem, std::string remedy) {
    const Place place = places_.of(mark);
    diagnostics_.push_back(
        error({file_, place.line, place.column, {}}, std::move(problem), std::move(remedy)));
    if (diagnostics_.size() >= kMostDiagnostics) throw Stop();
  }

  void check(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
    if (++nodes_ > kMostYamlNodes) {
      refuse(mark, "too many values", fmt::format("at most {} are read", kMostYamlNodes));
      throw Stop();
    }
    if (anchor != 0) refuse(mark, "an anchor ('&') has no place in a plan", kNoAnchors);
    // "?" and "!" are how yaml-cpp marks plain and quoted values that carry no tag of their own.
    if (!tag.empty() && tag != "?" && tag != "!") {
      refuse(mark, fmt::format("a tag ('{}') has no place in a plan", printable(tag)),
             "leave it out");
    }
  }

  void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
            YamlNode::Kind kind) {
    check(mark, tag, anchor);
    if (static_cast<int>(stack_.size()) >= kDeepestYaml) {
      refuse(mark, "nested too deeply", fmt::format("at most {} levels are read", kDeepestYaml));
      throw Stop();
    }
    if (!stack_.empty() && stack_.back().node.kind == YamlNode::Kind::kMap &&
        stack_.back().expects_key) {
      refuse(mark, "a list or a map cannot be a key",
             "close its bracket, or write a word, then ':'");
      throw Stop();
    }
    Open opened;
    opened.node.kind = kind;
    opened.node.place = places_.of(mark);
    stack_.push_back(std::move(opened));
  }

  void close() {
    YamlNode node = std::move(stack_.back().node);
    stack_.pop_back();
    add(std::move(node));
  }

  void add(YamlNode node) {
    if (stack_.empty()) {
      root_ = std::move(node);
      return;
    }
    Open& parent = stack_.back();
    if (parent.node.kind == YamlNode::Kind::kSequence) {
      parent.node.items.push_back(std::move(node));
    } else if (parent.expects_key) {
      add_key(parent, std::move(node));
    } else {
      parent.expects_key = true;
      // A value left out stands, for yaml-cpp, at whatever comes next.
      if (node.kind == YamlNode::Kind::kNothing) node.place = parent.key_place;
      if (parent.node.items.size() < parent.node.keys.size()) {
        parent.node.items.push_back(std::move(node));  // else the key was a duplicate: dropped
      }
    }
  }

  void add_key(Open& parent, YamlNode key) {
    parent.expects_key = false;
    parent.key_place = key.place;
    if (parent.seen.insert(key.text).second) {
      parent.node.keys.push_back({std::move(key.text), key.place});
      return;
    }
    const auto first = std::ranges::find(parent.node.keys, key.text, &YamlNode::Key::text);
    diagnostics_.push_back(
        error({file_, key.place.line, key.place.column, {}},
              fmt::format("'{}' is given twice", printable(key.text)),
              fmt::format("keep one; the first is in line {}", first->place.line)));
    if (diagnostics_.size() >= kMostDiagnostics) throw Stop();
  }

  static constexpr std::size_t kMostDiagnostics = 100;

  std::string file_;
  const Places& places_;
  Diagnostics& diagnostics_;
  std::vector<Open> stack_;
  YamlNode root_;
  std::size_t nodes_ = 0;
  int documents_ = 0;
};

// yaml-cpp keeps every bracket that is still open on a line, and what follows it, in memory.
// Counted without regard to quotes and comments: no honest plan comes near the limit.
bool opens_too_many_brackets(std::string_view text) {
  constexpr int kMostOpen = 10'000;
  int open = 0;
  for (const char c : text) {
    if (c == '[' || c == '{') ++open;
    if ((c == ']' || c == '}') && open > 0) --open;
    if (open > kMostOpen) return true;
  }
  return false;
}

// What can be told of a text before it is parsed.
Diagnostics refused_at_sight(std::string_view text, const std::string& file) {
  const Where whole{.file = file};
  if (text.size() > kMostYamlBytes) {
    return fail(whole, "too large for a plan",
                fmt::format("at most {} bytes are read", kMostYamlBytes));
  }
  if (text.find('\0') != std::string_view::npos) {
    return fail(whole, "is not text (it holds a zero byte)",
                "save the plan as plain text in UTF-8");
  }
  if (const std::size_t byte = utf8_prefix(text); byte < text.size()) {
    const Place place = Places(text.substr(0, byte)).behind();
    return fail({file, place.line, place.column, {}}, "is not UTF-8 here",
                "save the plan as plain text in UTF-8");
  }
  if (opens_too_many_brackets(text)) {
    return fail(whole, "nested too deeply",
                fmt::format("at most {} levels are read", kDeepestYaml));
  }
  return {};
}

Diagnostic not_yaml(const YAML::Exception& failure, std::string_view text,
                    const std::string& file) {
  const std::string_view written = text.substr(0, text.find_last_not_of(" \t\r\n") + 1);
  const Place end = Places(written).behind();
  const Place place = Places(text).of(failure.mark);
  if (place.line > end.line) {
    return error({file, end.line, end.column, {}}, "ends inside a quote, a bracket or a brace",
                 "close what is open");
  }
  return error({file, place.line, place.column, {}},
               fmt::format("is not YAML here ({})", failure.msg),
               "check quotes, brackets, and that lines are indented with blanks, not tabs");
}

}  // namespace

Result<YamlNode> read_yaml(std::string_view text, const std::string& file) {
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  Diagnostics diagnostics = refused_at_sight(text, file);
  if (!diagnostics.empty()) return diagnostics;
  const Places places(text);
  TreeBuilder builder(file, places, diagnostics);
  try {
    // The document's end, so that a quote left open is an error (yaml-cpp forgives it at the end of
    // a text).
    std::istringstream stream(std::string(text) + "\n...\n");
    YAML::Parser parser(stream);
    while (parser.HandleNextDocument(builder)) {
    }
  } catch (const Stop&) {
    // The diagnostic is there already.
  } catch (const YAML::Exception& failure) {
    diagnostics.push_back(not_yaml(failure, text, file));
  }
  if (!diagnostics.empty()) return diagnostics;
  return builder.take();
}

}  // namespace arsis
