#include "musicxml/printed_words.h"

#include <algorithm>
#include <string>

#include "base/text.h"
#include "plan/tuning.h"

namespace arsis {
namespace {

constexpr std::size_t kLongestText = 400;  // bytes that are looked at

struct WordEntry {
  std::string_view words;  // '*': the last word may go on
  WordMeaning meaning;
};

// The longer of two that begin alike stands first.
constexpr WordEntry kEntries[] = {
    {"cresc*", {WordKind::kCrescendo, 0.0}},
    {"crescendo", {WordKind::kCrescendo, 0.0}},
    {"dim", {WordKind::kDiminuendo, 0.0}},
    {"dimin*", {WordKind::kDiminuendo, 0.0}},
    {"decr*", {WordKind::kDiminuendo, 0.0}},
    {"smorz*", {WordKind::kDiminuendo, 0.0}},
    {"perdendo*", {WordKind::kDiminuendo, 0.0}},
    {"rinf*", {WordKind::kSforzato, 0.0}},
    {"sforz*", {WordKind::kSforzato, 0.0}},
    {"sotto voce", {WordKind::kDynamic, -2.0}},
    {"mezza voce", {WordKind::kDynamic, -1.0}},
    {"pianissimo", {WordKind::kDynamic, -3.0}},
    {"mezzo piano", {WordKind::kDynamic, -1.0}},
    {"mezzopiano", {WordKind::kDynamic, -1.0}},
    {"piano", {WordKind::kDynamic, -2.0}},
    {"mezzo forte", {WordKind::kDynamic, 0.0}},
    {"mezzoforte", {WordKind::kDynamic, 0.0}},
    {"poco forte", {WordKind::kDynamic, 0.0}},
    {"meno f", {WordKind::kDynamic, 0.0}},
    {"meno forte", {WordKind::kDynamic, 0.0}},
    {"meno p", {WordKind::kDynamic, -1.0}},
    {"meno piano", {WordKind::kDynamic, -1.0}},
    {"fortissimo", {WordKind::kDynamic, 2.0}},
    {"forte", {WordKind::kDynamic, 1.0}},
    {"a tempo", {WordKind::kBack, 0.0}},
    {"tempo primo", {WordKind::kFirst, 0.0}},
    {"tempo i", {WordKind::kFirst, 0.0}},
    {"tempo 1", {WordKind::kFirst, 0.0}},
    {"tempo 1o", {WordKind::kFirst, 0.0}},
    {"riten*", {WordKind::kAtOnce, 0.85}},
    {"meno mosso", {WordKind::kAtOnce, 0.85}},
    {"piu lento", {WordKind::kAtOnce, 0.85}},
    {"piu mosso", {WordKind::kAtOnce, 1.15}},
    {"piu vivo", {WordKind::kAtOnce, 1.15}},
    {"piu allegro", {WordKind::kAtOnce, 1.15}},
    {"rit", {WordKind::kGradual, 0.7}},
    {"ritard*", {WordKind::kGradual, 0.7}},
    {"rall*", {WordKind::kGradual, 0.7}},
    {"slarg*", {WordKind::kGradual, 0.75}},
    {"allarg*", {WordKind::kGradual, 0.75}},
    {"accel*", {WordKind::kGradual, 1.3}},
    {"string*", {WordKind::kGradual, 1.3}},
    {"affrett*", {WordKind::kGradual, 1.3}},
    {"prestissimo", {WordKind::kTempo, 190.0}},
    {"presto", {WordKind::kTempo, 172.0}},
    {"vivace", {WordKind::kTempo, 150.0}},
    {"vivo", {WordKind::kTempo, 150.0}},
    {"allegretto", {WordKind::kTempo, 112.0}},
    {"allegro", {WordKind::kTempo, 132.0}},
    {"moderato", {WordKind::kTempo, 100.0}},
    {"andantino", {WordKind::kTempo, 84.0}},
    {"andante", {WordKind::kTempo, 76.0}},
    {"adagietto", {WordKind::kTempo, 66.0}},
    {"adagio", {WordKind::kTempo, 60.0}},
    {"larghetto", {WordKind::kTempo, 60.0}},
    {"lento", {WordKind::kTempo, 52.0}},
    {"largo", {WordKind::kTempo, 48.0}},
    {"grave", {WordKind::kTempo, 42.0}},
    {"da capo", {WordKind::kDaCapo, 0.0}},
    {"d c", {WordKind::kDaCapo, 0.0}},
    {"dc", {WordKind::kDaCapo, 0.0}},
    {"dal segno", {WordKind::kDalSegno, 0.0}},
    {"d s", {WordKind::kDalSegno, 0.0}},
    {"ds", {WordKind::kDalSegno, 0.0}},
    {"al fine", {}},  // of "da capo al fine": not the end itself
    {"al coda", {}},
    {"alla coda", {WordKind::kToCoda, 0.0}},
    {"to coda", {WordKind::kToCoda, 0.0}},
    {"fine", {WordKind::kFine, 0.0}},
};

// Fade and broaden at once.
constexpr std::string_view kDyingAway[] = {"calando", "morendo", "mancando"};
constexpr double kDyingTempo = 0.75;

// Small letters and digits alone, words apart by one blank.
std::string plain(std::string_view text) {
  std::string made;
  const std::string small = lower_case(text.substr(0, kLongestText));
  for (std::size_t i = 0; i < small.size(); ++i) {
    const char c = small[i];
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
      made += c;
    } else if (c == '\xC3' && i + 1 < small.size()) {
      // Accented letters of Italian in UTF-8, small and capital, as the letter alone.
      const auto low = static_cast<unsigned char>(static_cast<unsigned char>(small[++i]) | 0x20);
      made += low == 0xB9 ? 'u' : low == 0xA0 ? 'a' : low == 0xAC ? 'i' : low == 0xB2 ? 'o' : 'e';
    } else if (!made.empty() && made.back() != ' ') {
      made += ' ';
    }
  }
  return std::string(trimmed(made));
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  while (!text.empty()) {
    const std::size_t end = text.find(' ');
    words.push_back(text.substr(0, end));
    text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
  }
  return words;
}

// How many words from `at` on the entry takes; 0 where it is not there.
std::size_t taken_by(std::string_view entry, const std::vector<std::string_view>& words,
                     std::size_t at) {
  const std::vector<std::string_view> wanted = words_of(entry);
  if (at + wanted.size() > words.size()) return 0;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const bool goes_on = wanted[i].ends_with('*');
    const std::string_view stem = wanted[i].substr(0, wanted[i].size() - (goes_on ? 1 : 0));
    if (goes_on ? !words[at + i].starts_with(stem) : words[at + i] != stem) return 0;
  }
  return wanted.size();
}

// The meanings of the words at `at`; moves it past them.
std::vector<WordMeaning> take(const std::vector<std::string_view>& words, std::size_t& at) {
  if (std::ranges::find(kDyingAway, words[at]) != std::end(kDyingAway)) {
    ++at;
    return {{WordKind::kDiminuendo, 0.0}, {WordKind::kGradual, kDyingTempo}};
  }
  for (const WordEntry& entry : kEntries) {
    const std::size_t count = taken_by(entry.words, words, at);
    if (count == 0) continue;
    at += count;
    const bool says_nothing = entry.words == "al fine" || entry.words == "al coda";
    return says_nothing ? std::vector<WordMeaning>{} : std::vector{entry.meaning};
  }
  return meanings_of_dynamic(words[at++]);
}

}  // namespace

std::vector<WordMeaning> meanings_of_dynamic(std::string_view name) {
  if (const auto step = dynamic_step(name)) {
    return {{WordKind::kDynamic, static_cast<double>(*step)}};
  }
  const bool letters = name.find_first_not_of('p') == std::string_view::npos ||
                       name.find_first_not_of('f') == std::string_view::npos;
  if (letters && name.size() > 4 && name.size() <= 6) {  // pppppp
    return {
        {WordKind::kDynamic, static_cast<double>(name[0] == 'p' ? kSoftestStep : kLoudestStep)}};
  }
  const WordMeaning piano{WordKind::kDynamic, kPianoStep};
  if (name == "n") return {{WordKind::kDynamic, kSoftestStep}};
  if (name == "pf") return {{WordKind::kDynamic, 0.0}};  // poco forte
  if (name == "fp") return {{WordKind::kFortePiano, 0.0}, piano};
  if (name == "sfp" || name == "sfzp") {
    return {{WordKind::kFortePiano, 0.0}, {WordKind::kSforzato, 0.0}, piano};
  }
  if (name == "sfpp") {
    return {{WordKind::kFortePiano, 0.0},
            {WordKind::kSforzato, 0.0},
            {WordKind::kDynamic, kPianoStep - 1.0}};
  }
  for (const std::string_view sforzato : {"sf", "sfz", "sffz", "fz", "rf", "rfz"}) {
    if (name == sforzato) return {{WordKind::kSforzato, 0.0}};
  }
  return {};
}

std::vector<WordMeaning> meanings_of(std::string_view text) {
  const std::string made = plain(text);
  const std::vector<std::string_view> words = words_of(made);
  std::vector<WordMeaning> meanings;
  for (std::size_t at = 0; at < words.size();) {
    if (words[at] == "senza" || words[at] == "non") {
      std::size_t past = at + 1;
      if (past < words.size()) take(words, past);
      at = past;
      continue;
    }
    for (const WordMeaning& meaning : take(words, at)) meanings.push_back(meaning);
  }
  return meanings;
}

}  // namespace arsis
