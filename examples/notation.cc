#include "notation.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"

namespace arsis {
namespace {

constexpr std::string_view kBlanks = " \t\n";

// Ticks of a length in quarter notes; none where it is out of range or falls between two ticks.
std::optional<std::int64_t> ticks_of(std::string_view length) {
  const std::optional<double> quarters = parse_number(length);
  if (!quarters || *quarters < 1.0 / 16 || *quarters > 16.0) return std::nullopt;
  const double ticks = *quarters * kTicksPerQuarter;
  if (std::abs(ticks - std::round(ticks)) > 1e-6) return std::nullopt;
  return std::llround(ticks);
}

class Reader {
 public:
  Reader(const Meter& meter, std::string name) : meter_(meter), name_(std::move(name)) {}

  void read(std::string_view word) {
    if (word == "|") return check_bar_line();
    const std::size_t colon = word.find(':');
    if (colon != std::string_view::npos) {
      const auto ticks = ticks_of(word.substr(colon + 1));
      if (!ticks) {
        return refuse(word, "is of no length that can be written", "1, 1/2, 3/2 ... up to 16");
      }
      length_ = *ticks;
    }
    if (length_ == 0) return refuse(word, "has no length", "give the first word one, such as c4:1");
    strike(word, word.substr(0, colon));
    voice_.end += length_;
  }

  Result<Voice> result() && {
    if (!errors_.empty()) return std::move(errors_);
    return std::move(voice_);
  }

 private:
  void refuse(std::string_view word, std::string_view problem, std::string remedy) {
    const std::int64_t whole_bars = (voice_.end - meter_.pickup + meter_.bar) / meter_.bar;
    errors_.push_back(error({.file = name_, .part = fmt::format("bar {}", whole_bars)},
                            fmt::format("'{}' {}", printable(word), problem), std::move(remedy)));
  }

  void check_bar_line() {
    const std::int64_t past = voice_.end - meter_.pickup;
    if (past >= 0 && past % meter_.bar == 0) return;
    const std::int64_t off = ((past % meter_.bar) + meter_.bar) % meter_.bar;
    refuse("|", fmt::format("stands {} ticks after a bar line", off), "mend the bar before it");
  }

  void strike(std::string_view word, std::string_view what) {
    if (what == "r") return;
    Struck struck{voice_.end, length_, {}};
    if (what != "p") {
      const bool chord = what.size() > 2 && what.front() == '[' && what.back() == ']';
      if (chord) what = what.substr(1, what.size() - 2);
      while (!what.empty()) {
        const std::size_t blank = chord ? what.find(' ') : std::string_view::npos;
        const std::optional<int> key = key_named(what.substr(0, blank));
        if (!key) return refuse(word, "is no note", "a note such as f#5, [c4 e4], r or p");
        struck.keys.push_back(*key);
        what = blank == std::string_view::npos ? std::string_view{} : what.substr(blank + 1);
      }
    }
    voice_.struck.push_back(std::move(struck));
  }

  Meter meter_;
  std::string name_;
  Voice voice_;
  std::int64_t length_ = 0;  // of the word before; 0: there was none
  Diagnostics errors_;
};

// Where the word that begins at `begin` ends: at the next blank that is not inside brackets.
std::size_t end_of_word(std::string_view text, std::size_t begin) {
  std::size_t from = begin;
  if (text[begin] == '[') from = std::min(text.find(']', begin), text.size());
  return std::min(text.find_first_of(kBlanks, from), text.size());
}

}  // namespace

std::optional<int> key_named(std::string_view word) {
  constexpr int kSemitones[] = {9, 11, 0, 2, 4, 5, 7};  // a .. g above c
  if (word.size() < 2 || word.front() < 'a' || word.front() > 'g') return std::nullopt;
  int key = kSemitones[word.front() - 'a'];
  word.remove_prefix(1);
  if (word.front() == '#' || word.front() == 'b') {
    key += word.front() == '#' ? 1 : -1;
    word.remove_prefix(1);
  }
  if (word.size() != 1 || word.front() < '0' || word.front() > '9') return std::nullopt;
  key += 12 * (word.front() - '0' + 1);
  return key <= 127 ? std::optional(key) : std::nullopt;
}

Result<Voice> read_notation(std::string_view text, const Meter& meter, const std::string& name) {
  Reader reader(meter, name);
  std::size_t begin = text.find_first_not_of(kBlanks);
  while (begin < text.size()) {
    const std::size_t end = end_of_word(text, begin);
    reader.read(text.substr(begin, end - begin));
    begin = text.find_first_not_of(kBlanks, end);
  }
  return std::move(reader).result();
}

}  // namespace arsis
