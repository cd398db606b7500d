#include "plan/plan_edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.h"
#include "plan/plan_writer.h"
#include "plan/yaml_tree.h"

namespace arsis {
namespace {

// Places of a text as offsets of bytes.
class Lines {
 public:
  explicit Lines(std::string_view text) : text_(text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == '\n') begins_.push_back(i + 1);
    }
  }

  // The text's end where there is no such place.
  std::size_t offset_of(Place place) const {
    const auto line = static_cast<std::size_t>(place.line - 1);
    if (place.line < 1 || line >= begins_.size()) return text_.size();
    std::size_t at = begins_[line];
    for (int column = 1; column < place.column && at < text_.size(); ++column) {
      ++at;
      while (at < text_.size() && (static_cast<unsigned char>(text_[at]) & 0xC0) == 0x80) ++at;
    }
    return at;
  }

 private:
  std::string_view text_;
  std::vector<std::size_t> begins_ = {0};
};

struct Edit {
  std::size_t at = 0;
  std::size_t size = 0;  // of what is taken away
  std::string text;      // what stands there instead
};

std::string applied(std::string_view text, std::vector<Edit> edits) {
  std::ranges::stable_sort(edits, {}, &Edit::at);
  std::string result;
  std::size_t done = 0;
  for (const Edit& edit : edits) {
    if (edit.at < done || edit.at + edit.size > text.size()) continue;
    result += text.substr(done, edit.at - done);
    result += edit.text;
    done = edit.at + edit.size;
  }
  return result += text.substr(done);
}

const YamlNode* find(const YamlNode& map, std::string_view key) {
  const auto found = std::ranges::find(map.keys, key, &YamlNode::Key::text);
  if (map.kind != YamlNode::Kind::kMap || found == map.keys.end()) return nullptr;
  return &map.items[static_cast<std::size_t>(found - map.keys.begin())];
}

// Where each sentence's phrases begin among all; one more than there are sentences.
std::vector<std::size_t> phrase_begins(const Plan& plan) {
  std::vector<std::size_t> begins = {0};
  for (const SentencePlan& sentence : plan.sentences) {
    const SentencePlan& model = sentence.like ? plan.sentences[*sentence.like] : sentence;
    begins.push_back(begins.back() + model.phrases.size());
  }
  return begins;
}

class Editor {
 public:
  Editor(std::string_view text, const Plan& plan, const ChosenMains& mains)
      : text_(text), lines_(text), plan_(plan), mains_(mains), begins_(phrase_begins(plan)) {}

  std::vector<Edit> edits(const YamlNode& root) {
    const YamlNode* sentences = find(root, "sentences");
    if (sentences == nullptr || sentences->items.size() != plan_.sentences.size()) return {};
    for (std::size_t i = 0; i < plan_.sentences.size(); ++i) sentence(i, sentences->items[i]);
    const YamlNode* main = find(root, "main");
    if (main != nullptr && mains_.piece) replace_word(*main, fmt::format("{}", *mains_.piece + 1));
    return std::move(edits_);
  }

 private:
  std::vector<std::size_t> phrase_mains(std::size_t sentence) const {
    const auto begin = mains_.phrases.begin();
    return {begin + static_cast<std::ptrdiff_t>(begins_[sentence]),
            begin + static_cast<std::ptrdiff_t>(begins_[sentence + 1])};
  }

  void replace_word(const YamlNode& node, const std::string& word) {
    std::size_t at = lines_.offset_of(node.place);
    if (at < text_.size() && (text_[at] == '"' || text_[at] == '\'')) ++at;
    if (text_.substr(at, node.text.size()) != node.text || node.text == word) return;
    edits_.push_back({at, node.text.size(), word});
  }

  void sentence(std::size_t index, const YamlNode& node) {
    model_.push_back(index);
    main_.push_back(mains_.sentences[index]);
    bool needs_main = false;
    if (const YamlNode* phrases = find(node, "phrases")) {
      for (std::size_t i = 0; i < phrases->items.size(); ++i) {
        feet(phrases->items[i], mains_.phrases[begins_[index] + i]);
      }
    } else if (const YamlNode* like = find(node, "like")) {
      needs_main = sentence_like(index, node, *like);
    }
    if (const YamlNode* main = find(node, "main")) {
      replace_word(*main, fmt::format("{}", mains_.sentences[index] + 1));
    } else if (needs_main) {
      add_main(index, node);
    }
  }

  // Writes the phrases out where their mains part from those of the model. Whether a main has to be
  // said.
  bool sentence_like(std::size_t index, const YamlNode& node, const YamlNode& like) {
    const auto number = parse_integer(like.text);
    if (!number || *number < 1 || *number > static_cast<std::int64_t>(index)) return false;
    const auto named = static_cast<std::size_t>(*number - 1);
    const std::size_t model = model_[named];
    if (phrase_mains(index) == phrase_mains(model) || !write_phrases(index, node, like)) {
      model_[index] = model;
      return main_[named] != mains_.sentences[index];
    }
    return begins_[index + 1] - begins_[index] > 1;
  }

  bool write_phrases(std::size_t index, const YamlNode& node, const YamlNode& like) {
    std::string text;
    const SentencePlan& model = plan_.sentences[*plan_.sentences[index].like];
    for (std::size_t i = 0; i < model.phrases.size(); ++i) {
      PhrasePlan phrase = model.phrases[i];
      phrase.main = mains_.phrases[begins_[index] + i];
      phrase.shape = {};
      const std::string feet = phrase_text(phrase);
      if (feet.starts_with('{')) return false;  // its places are the model's own
      text += (text.empty() ? "" : ", ") + feet;
    }
    const Place key = std::ranges::find(node.keys, "like", &YamlNode::Key::text)->place;
    const std::size_t begin = lines_.offset_of(key);
    const std::size_t end = lines_.offset_of(like.place) + like.text.size();
    if (!text_.substr(begin).starts_with("like") || end <= begin) return false;
    edits_.push_back({begin, end - begin, fmt::format("phrases: [{}]", text)});
    return true;
  }

  // Behind `like:`, or what has taken its place.
  void add_main(std::size_t index, const YamlNode& node) {
    const auto key = std::ranges::find(node.keys, "like", &YamlNode::Key::text);
    const YamlNode& like = *find(node, "like");
    const std::size_t begin = lines_.offset_of(key->place);
    const std::size_t before = begin == 0 ? begin : text_.find_last_not_of(" \n", begin - 1);
    const bool in_braces =
        before != std::string_view::npos && (text_[before] == '{' || text_[before] == ',');
    const std::string between =
        in_braces ? ", " : "\n" + std::string(static_cast<std::size_t>(key->place.column - 1), ' ');
    edits_.push_back({lines_.offset_of(like.place) + like.text.size(), 0,
                      fmt::format("{}main: {}", between, mains_.sentences[index] + 1)});
  }

  // Foot for foot, so that blanks stay.
  void feet(const YamlNode& phrase, std::size_t main) {
    const YamlNode* feet = phrase.kind == YamlNode::Kind::kText ? &phrase : find(phrase, "feet");
    if (feet == nullptr || feet->kind != YamlNode::Kind::kText) return;
    if (find(phrase, "main") != nullptr) {
      replace_word(*find(phrase, "main"), fmt::format("{}", main + 1));
    }
    const auto is_foot = [](char c) { return c == 'u' || c == '/'; };
    const auto count = static_cast<std::size_t>(std::ranges::count_if(feet->text, is_foot));
    const bool marked = feet->text.find('/') != std::string::npos;
    if (!marked) return;  // a single motif, or a `main:` says it
    std::size_t at = lines_.offset_of(feet->place);
    for (std::size_t foot = 0; foot < count && at < text_.size(); ++at) {
      if (!is_foot(text_[at])) continue;
      const char wanted = foot++ == main ? '/' : 'u';
      if (text_[at] != wanted) edits_.push_back({at, 1, std::string(1, wanted)});
    }
  }

  std::string_view text_;
  Lines lines_;
  const Plan& plan_;
  const ChosenMains& mains_;
  std::vector<std::size_t> begins_;
  std::vector<std::size_t> model_;  // of each sentence so far: whose phrases it has
  std::vector<std::size_t> main_;   // of each sentence so far
  std::vector<Edit> edits_;
};

}  // namespace

ChosenMains mains_of(const Plan& plan) {
  ChosenMains mains;
  mains.piece = plan.main;
  for (const SentencePlan& sentence : plan.sentences) {
    mains.sentences.push_back(sentence.main);
    const SentencePlan& model = sentence.like ? plan.sentences[*sentence.like] : sentence;
    for (const PhrasePlan& phrase : model.phrases) mains.phrases.push_back(phrase.main);
  }
  return mains;
}

std::string with_mains_in_text(std::string_view text, const Plan& plan, const ChosenMains& mains) {
  const Result<YamlNode> root = read_yaml(text, plan.file);
  if (!root) return std::string(text);
  return applied(text, Editor(text, plan, mains).edits(*root));
}

std::string with_piece_main_in_text(std::string_view text, const Plan& plan, std::size_t main) {
  const Result<YamlNode> root = read_yaml(text, plan.file);
  if (!root || find(*root, "main") != nullptr) return std::string(text);
  const auto key = std::ranges::find(root->keys, "sentences", &YamlNode::Key::text);
  if (key == root->keys.end()) return std::string(text);
  const Lines lines(text);
  const std::size_t begin = lines.offset_of(root->place);
  const bool in_braces = begin < text.size() && text[begin] == '{';
  const std::string after =
      in_braces ? ", " : "\n" + std::string(static_cast<std::size_t>(key->place.column - 1), ' ');
  return applied(text,
                 {{lines.offset_of(key->place), 0, fmt::format("main: {}{}", main + 1, after)}});
}

std::optional<std::string> with_score_in_text(std::string_view text, const Plan& plan,
                                              const std::string& score) {
  const std::size_t at = Lines(text).offset_of(plan.score_place);
  if (text.substr(at).starts_with(plan.score)) {
    return applied(text, {{at, plan.score.size(), yaml_text(score)}});
  }
  const std::string_view quoted = text.substr(std::min(at + 1, text.size()));
  if (!quoted.starts_with(plan.score) || quoted.size() == plan.score.size() ||
      quoted[plan.score.size()] != text[at]) {
    return std::nullopt;
  }
  return applied(text, {{at, plan.score.size() + 2, yaml_text(score)}});
}

}  // namespace arsis
