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

// yaml-cpp counts from 0.
Place place_of(const YAML::Mark& mark) { return {mark.line + 1, mark.column + 1}; }

// Thrown out of the parser by our own handler to stop it; never leaves this file.
struct Stop {};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(std::string file, Diagnostics& diagnostics)
      : file_(std::move(file)), diagnostics_(diagnostics) {}

  YamlNode take() { return std::move(root_); }

  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ > 1) {
      refuse(mark, "a second document starts here", "a plan is one document; remove the '---'");
      throw Stop();
    }
  }
  void OnDocumentEnd() override {}

  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    check(mark, {}, anchor);
    add({.kind = YamlNode::Kind::kNothing,
         .place = place_of(mark),
         .text = {},
         .keys = {},
         .items = {}});
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    refuse(mark, "an alias ('*') has no place in a plan", kNoAnchors);
    add({.kind = YamlNode::Kind::kNothing,
         .place = place_of(mark),
         .text = {},
         .keys = {},
         .items = {}});
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    check(mark, tag, anchor);
    add({.kind = YamlNode::Kind::kText,
         .place = place_of(mark),
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
    const Place place = place_of(mark);
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
      refuse(mark, "a list or a map cannot be a key", "write a word, then ':'");
      throw Stop();
    }
    Open opened;
    opened.node.kind = kind;
    opened.node.place = place_of(mark);
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
  Diagnostics& diagnostics_;
  std::vector<Open> stack_;
  YamlNode root_;
  std::size_t nodes_ = 0;
  int documents_ = 0;
};

// Where the byte stands: its line, and its column in bytes, as yaml-cpp counts.
Place place_in(std::string_view text, std::size_t byte) {
  const std::string_view before = text.substr(0, byte);
  const std::size_t line_begin = before.find_last_of('\n') + 1;  // 0 where there is none
  return {static_cast<int>(std::ranges::count(before, '\n')) + 1,
          static_cast<int>(byte - line_begin) + 1};
}

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
    const Place place = place_in(text, byte);
    return fail({file, place.line, place.column, {}}, "is not UTF-8 here",
                "save the plan as plain text in UTF-8");
  }
  if (opens_too_many_brackets(text)) {
    return fail(whole, "nested too deeply",
                fmt::format("at most {} levels are read", kDeepestYaml));
  }
  return {};
}

}  // namespace

Result<YamlNode> read_yaml(std::string_view text, const std::string& file) {
  Diagnostics diagnostics = refused_at_sight(text, file);
  if (!diagnostics.empty()) return diagnostics;
  TreeBuilder builder(file, diagnostics);
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
    const Place place = place_of(failure.mark);
    diagnostics.push_back(error({file, place.line, place.column, {}},
                                fmt::format("is not YAML here ({})", failure.msg),
                                "check quotes, brackets, indentation"));
  }
  if (!diagnostics.empty()) return diagnostics;
  return builder.take();
}

}  // namespace arsis
