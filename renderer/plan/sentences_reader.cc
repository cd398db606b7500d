// Reads the structure of a plan: sentences of phrases of motifs, as verse feet or in the long form.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "plan/plan_sections.h"

namespace arsis {
namespace {

constexpr std::array<std::string_view, 6> kSentenceKeys = {"phrases", "main", "from",
                                                           "length",  "like", "shape"};
constexpr std::array<std::string_view, 4> kPhraseKeys = {"feet", "motifs", "main", "shape"};
constexpr std::array<std::string_view, 5> kMotifKeys = {"to", "length", "goal", "main", "shape"};
constexpr std::size_t kMostOfPhrase = 1000;  // motifs; far past any that could be heard as one

// "u / u": the feet in order, the places of all mains among them.
struct Feet {
  std::size_t count = 0;
  std::vector<std::size_t> mains;
};

std::optional<Feet> parse_feet(std::string_view written) {
  Feet feet;
  for (const char c : written) {
    if (c == ' ' || c == '\t') continue;
    if (c != 'u' && c != '/') return std::nullopt;
    if (c == '/') feet.mains.push_back(feet.count);
    ++feet.count;
  }
  if (feet.count == 0 || feet.count > kMostOfPhrase) return std::nullopt;
  return feet;
}

// How many motifs are written out so far.
std::size_t motifs_of(const SentencePlan& sentence) {
  std::size_t count = 0;
  for (const PhrasePlan& phrase : sentence.phrases) count += phrase.motifs.size();
  return count;
}

// The one main of a phrase, from everything that speaks of it.
void choose_main(PhrasePlan& phrase, const std::vector<std::size_t>& mains, PlanText& text) {
  if (mains.size() == 1) {
    phrase.main = mains.front();
  } else if (mains.size() > 1) {
    text.refuse(phrase.place, fmt::format("a phrase with {} main motifs", mains.size()),
                "mark exactly one: '/' in feet, main: true in the long form");
  } else if (phrase.motifs.size() > 1) {
    text.refuse(phrase.place, "a phrase without a main motif",
                "mark exactly one: '/' in feet, main: true in the long form");
  }
}

void read_feet(const YamlNode& node, PhrasePlan& phrase, std::vector<std::size_t>& mains,
               PlanText& text) {
  const auto feet = node.kind == YamlNode::Kind::kText ? parse_feet(node.text) : std::nullopt;
  if (!feet) {
    text.refuse(node.place,
                node.kind == YamlNode::Kind::kText
                    ? fmt::format("'{}' are no feet", printable(node.text))
                    : std::string("feet must be text"),
                "write u for a motif and / for the main one, such as u / u");
    return;
  }
  MotifPlan motif;
  motif.place = node.place;
  phrase.motifs.assign(feet->count, motif);
  mains.insert(mains.end(), feet->mains.begin(), feet->mains.end());
}

MotifPlan read_motif(const YamlNode& node, bool& is_main, PlanText& text) {
  MotifPlan motif;
  motif.place = node.place;
  is_main = false;
  if (node.kind == YamlNode::Kind::kText && (node.text == "u" || node.text == "/")) {
    is_main = node.text == "/";
    return motif;
  }
  const MapReader map(node, "a motif", kMotifKeys, text);
  const YamlNode* to = map.find("to");
  const YamlNode* length = map.find("length");
  if (to != nullptr) motif.to = read_position(*to, "to", text);
  if (length != nullptr) motif.length = read_length(*length, "length", text);
  if (to != nullptr && length != nullptr) {
    text.refuse(length->place, "a motif with 'to' and 'length'", "write one of them");
  }
  if (const YamlNode* goal = map.find("goal")) motif.goal = read_position(*goal, "goal", text);
  if (const YamlNode* main = map.find("main")) {
    is_main = read_yes_no(*main, "main", text).value_or(false);
  }
  if (const YamlNode* shape = map.find("shape")) {
    motif.shape = read_shape(*shape, Level::kMotif, text);
  }
  return motif;
}

void read_motifs(const YamlNode& node, PhrasePlan& phrase, std::vector<std::size_t>& mains,
                 PlanText& text) {
  const std::size_t count = node.kind == YamlNode::Kind::kSequence ? node.items.size() : 0;
  if (count == 0 || count > kMostOfPhrase) {
    text.refuse(node.place,
                count == 0 ? "motifs must be a list" : fmt::format("a phrase of {} motifs", count),
                fmt::format("write 1 to {} motifs", kMostOfPhrase));
    return;
  }
  for (const YamlNode& item : node.items) {
    bool is_main = false;
    MotifPlan motif = read_motif(item, is_main, text);
    if (is_main) mains.push_back(phrase.motifs.size());
    phrase.motifs.push_back(std::move(motif));
  }
}

// Adds the phrase's own `main:` to the mains; false where it is no motif's number.
bool read_main_motif(const YamlNode* main, const PhrasePlan& phrase,
                     std::vector<std::size_t>& mains, PlanText& text) {
  if (main == nullptr) return true;
  const int most = static_cast<int>(phrase.motifs.size());
  const auto number = read_whole_number(*main, "main", 1, most, text);
  if (!number) return false;
  const auto index = static_cast<std::size_t>(*number - 1);
  if (std::ranges::find(mains, index) == mains.end()) mains.push_back(index);
  return true;
}

PhrasePlan read_phrase(const YamlNode& node, PlanText& text) {
  PhrasePlan phrase;
  phrase.place = node.place;
  std::vector<std::size_t> mains;
  if (node.kind == YamlNode::Kind::kText) {
    read_feet(node, phrase, mains, text);
    if (!phrase.motifs.empty()) choose_main(phrase, mains, text);
    return phrase;
  }
  const MapReader map(node, "a phrase", kPhraseKeys, text);
  const YamlNode* feet = map.find("feet");
  const YamlNode* motifs = map.find("motifs");
  if ((feet == nullptr) == (motifs == nullptr) && map.is_map()) {
    text.refuse(node.place, "a phrase needs its motifs once",
                "write either feet: u / u or motifs: [...]");
  }
  if (feet != nullptr) read_feet(*feet, phrase, mains, text);
  if (motifs != nullptr && feet == nullptr) read_motifs(*motifs, phrase, mains, text);
  if (!phrase.motifs.empty() && read_main_motif(map.find("main"), phrase, mains, text)) {
    choose_main(phrase, mains, text);
  }
  if (const YamlNode* shape = map.find("shape")) {
    phrase.shape = read_shape(*shape, Level::kPhrase, text);
  }
  return phrase;
}

// `written`: motifs of the sentences before.
void read_phrases(const YamlNode& node, SentencePlan& sentence, std::size_t written,
                  PlanText& text) {
  if (node.kind != YamlNode::Kind::kSequence || node.items.empty()) {
    text.refuse(node.place, "phrases must be a list", "write them as [u / u, u /]");
    return;
  }
  for (const YamlNode& item : node.items) {
    sentence.phrases.push_back(read_phrase(item, text));
    written += sentence.phrases.back().motifs.size();
    if (written > kMostMotifs) {
      text.refuse(item.place, "too many motifs", fmt::format("at most {} are read", kMostMotifs));
      return;
    }
  }
}

// `so_far`: the sentences before this one; it may be like one of them.
void read_like(const YamlNode& node, SentencePlan& sentence,
               const std::vector<SentencePlan>& so_far, PlanText& text) {
  if (so_far.empty()) {
    text.refuse(node.place, "the first sentence can be like no other", "write its phrases");
    return;
  }
  const int most = static_cast<int>(so_far.size());
  if (const auto number = read_whole_number(node, "like", 1, most, text)) {
    // Through to the sentence that writes its phrases out, so that no chain has to be walked later.
    const auto named = static_cast<std::size_t>(*number - 1);
    sentence.like = so_far[named].like.value_or(named);
    sentence.main = so_far[named].main;
  }
}

void read_main(const YamlNode* main, SentencePlan& sentence,
               const std::vector<SentencePlan>& so_far, PlanText& text) {
  const std::size_t count = (sentence.like ? so_far[*sentence.like] : sentence).phrases.size();
  if (count == 0) return;  // complained of already
  if (main != nullptr) {
    const auto number = read_whole_number(*main, "main", 1, static_cast<int>(count), text);
    if (number) sentence.main = static_cast<std::size_t>(*number - 1);
  } else if (!sentence.like && count > 1) {
    text.refuse(sentence.place, "a sentence without a main phrase",
                fmt::format("add main: 1 to {}", count));
  }
}

// `motifs`: of the sentences before.
SentencePlan read_sentence(const YamlNode& node, const std::vector<SentencePlan>& so_far,
                           std::size_t motifs, PlanText& text) {
  SentencePlan sentence;
  sentence.place = node.place;
  const MapReader map(node, "a sentence", kSentenceKeys, text);
  const YamlNode* phrases = map.find("phrases");
  const YamlNode* like = map.find("like");
  if ((phrases == nullptr) == (like == nullptr) && map.is_map()) {
    text.refuse(node.place, "a sentence needs its phrases once",
                "write either phrases: [u / u, u /] or like: 1");
  }
  if (phrases != nullptr) read_phrases(*phrases, sentence, motifs, text);
  if (like != nullptr && phrases == nullptr) read_like(*like, sentence, so_far, text);
  if (const YamlNode* from = map.find("from")) sentence.from = read_position(*from, "from", text);
  if (const YamlNode* length = map.find("length")) {
    sentence.length = read_length(*length, "length", text);
  }
  read_main(map.find("main"), sentence, so_far, text);
  if (const YamlNode* shape = map.find("shape")) {
    sentence.shape = read_shape(*shape, Level::kSentence, text);
  }
  return sentence;
}

}  // namespace

std::vector<SentencePlan> read_sentences(const YamlNode& node, PlanText& text) {
  std::vector<SentencePlan> sentences;
  if (node.kind != YamlNode::Kind::kSequence || node.items.empty()) {
    text.refuse(node.place, "sentences must be a list",
                "write at least one, such as - {phrases: [u / u, u /], main: 1}");
    return sentences;
  }
  std::size_t motifs = 0;
  for (const YamlNode& item : node.items) {
    sentences.push_back(read_sentence(item, sentences, motifs, text));
    motifs += motifs_of(sentences.back());
    if (motifs > kMostMotifs) break;  // complained of already
  }
  return sentences;
}

}  // namespace arsis
