#include "draft/roles.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <optional>
#include <set>
#include <string_view>
#include <utility>

#include "base/text.h"
#include "score/hands.h"

namespace arsis {
namespace {

constexpr std::size_t kMostParts = 256;   // of a plan
constexpr std::size_t kLongestName = 80;  // bytes; there is no reading longer ones

// What speaks for a melody besides lying highest, whose share counts whole.
constexpr double kSingleWeight = 0.6;
constexpr double kPresenceWeight = 0.4;
constexpr double kNameWeight = 0.5;
constexpr std::array<std::string_view, 4> kMelodyNames = {"melody", "voice", "solo", "soprano"};
// A bass lies lowest for so much of the time, and goes note by note so often.
constexpr double kLowest = 0.5;
constexpr double kBassSingle = 0.7;
constexpr std::size_t kFewestWithBass = 3;

// Of a part; all are shares, 0..1.
struct Measures {
  double highest = 0.0;   // of the time in which anything sounds
  double lowest = 0.0;    // of the same
  double presence = 0.0;  // of the same, in which it sounds
  double single = 0.0;    // of its moments: those of one note, or of octaves
};

// Goes through beginnings and ends of notes in order of time, and knows what sounds.
class Register {
 public:
  explicit Register(const Score& score)
      : score_(score),
        measures_(score.parts.size()),
        sounding_(score.parts.size()),
        began_(score.parts.size()) {}

  std::vector<Measures> measure() {
    std::multiset<std::pair<Beats, std::size_t>> ends;  // of the notes that sound
    for (std::size_t i = 0; i < score_.notes.size(); ++i) {
      const Note& note = score_.notes[i];
      if (!is_pitched(score_.parts[note.part])) continue;
      while (!ends.empty() && ends.begin()->first <= note.onset) {
        end(ends.begin()->second, ends.begin()->first);
        ends.erase(ends.begin());
      }
      pass_to(note.onset);
      keys_.emplace(note.key, note.part);
      if (sounding_[note.part]++ == 0) began_[note.part] = note.onset;
      ends.emplace(note.end, i);
    }
    for (const auto& [at, note] : ends) end(note, at);
    for (Measures& measures : measures_) {
      if (total_ <= 0.0) break;
      measures.highest /= total_;
      measures.lowest /= total_;
      measures.presence /= total_;
    }
    return std::move(measures_);
  }

 private:
  void end(std::size_t note, Beats at) {
    pass_to(at);
    const Note& ended = score_.notes[note];
    keys_.erase(keys_.find({ended.key, ended.part}));
    if (--sounding_[ended.part] > 0) return;
    measures_[ended.part].presence += (at - began_[ended.part]).value;
  }

  void pass_to(Beats at) {
    const double passed = (at - last_).value;
    last_ = at;
    if (keys_.empty() || passed <= 0.0) return;
    total_ += passed;
    measures_[keys_.rbegin()->second].highest += passed;
    measures_[keys_.begin()->second].lowest += passed;
  }

  const Score& score_;
  std::vector<Measures> measures_;
  std::vector<int> sounding_;                        // notes of each part
  std::vector<Beats> began_;                         // when each part that sounds has begun to
  std::multiset<std::pair<int, std::size_t>> keys_;  // that sound, and whose they are
  Beats last_;
  double total_ = 0.0;
};

// The notes of a part that begin together stand together in the score.
void add_singles(const Score& score, std::vector<Measures>& measures) {
  std::vector<double> moments(measures.size());
  for (std::size_t i = 0; i < score.notes.size();) {
    const Note& first = score.notes[i];
    bool single = true;
    for (; i < score.notes.size() && score.notes[i].part == first.part &&
           score.notes[i].onset == first.onset;
         ++i) {
      single = single && (score.notes[i].key - first.key) % 12 == 0;
    }
    moments[first.part] += 1.0;
    measures[first.part].single += single ? 1.0 : 0.0;
  }
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (moments[i] > 0.0) measures[i].single /= moments[i];
  }
}

bool is_named_as_melody(const Part& part) {
  const std::string name = lower_case(part.name);
  return std::ranges::any_of(
      kMelodyNames, [&](std::string_view word) { return name.find(word) != std::string::npos; });
}

std::size_t melody_of(const Score& score, const std::vector<Measures>& measures) {
  std::optional<std::size_t> best;
  double most = 0.0;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (!is_pitched(score.parts[i])) continue;
    const Measures& of = measures[i];
    const double worth = of.highest + kSingleWeight * of.single + kPresenceWeight * of.presence +
                         (is_named_as_melody(score.parts[i]) ? kNameWeight : 0.0);
    if (best && worth <= most) continue;
    best = i;
    most = worth;
  }
  assert(best);
  return *best;
}

std::optional<std::size_t> bass_of(const Score& score, const std::vector<Measures>& measures,
                                   std::size_t melody) {
  if (std::ranges::count_if(score.parts, is_pitched) < std::ptrdiff_t{kFewestWithBass}) {
    return std::nullopt;
  }
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const bool is_bass = measures[i].lowest >= kLowest && measures[i].single >= kBassSingle;
    if (i != melody && is_bass && is_pitched(score.parts[i])) return i;
  }
  return std::nullopt;
}

// Of any bytes a name of one line; none where nothing is left.
std::string base_name(const Part& part, std::size_t melody, std::size_t index) {
  if (part.hand == Hand::kRight) return "right hand";
  if (part.hand == Hand::kLeft) return "left hand";
  const std::string name = printable(trimmed(part.name), kLongestName);
  if (!name.empty()) return name;
  return index == melody ? "melody" : fmt::format("track {}", part.number);
}

std::string name_of_part(const Part& part, std::string name, std::set<std::string>& taken) {
  if (taken.contains(name) && !name.starts_with("track "))
    name += fmt::format(", track {}", part.number);
  if (taken.contains(name)) name += fmt::format(", channel {}", part.channel + 1);
  const std::string base = name;
  for (int copy = 2; taken.contains(name); ++copy) name = fmt::format("{} ({})", base, copy);
  taken.insert(name);
  return name;
}

std::string words_of(const Measures& measures, Role role) {
  const auto percent = [](double share) { return static_cast<int>(share * 100.0 + 0.5); };
  if (role == Role::kBass) {
    return fmt::format("lowest for {} % of the time, note by note", percent(measures.lowest));
  }
  if (role == Role::kMelody) {
    return fmt::format("highest for {} % of the time", percent(measures.highest));
  }
  return {};
}

}  // namespace

bool has_pitches(const Score& score) { return std::ranges::any_of(score.parts, is_pitched); }

std::vector<DraftedPart> drafted_parts(const Score& score) {
  std::vector<Measures> measures = Register(score).measure();
  add_singles(score, measures);
  const std::size_t melody = melody_of(score, measures);
  const std::optional<std::size_t> bass = bass_of(score, measures, melody);
  std::vector<DraftedPart> parts;
  std::set<std::string> taken;
  for (std::size_t i = 0; i < score.parts.size(); ++i) {
    const bool is_last = parts.size() + 1 == kMostParts;
    if (parts.size() == kMostParts || (is_last && melody > i)) continue;  // kept for the melody
    const Part& part = score.parts[i];
    DraftedPart drafted;
    drafted.plan.name = name_of_part(part, base_name(part, melody, i), taken);
    drafted.plan.track = part.number;
    drafted.plan.channel = part.channel + 1;
    drafted.plan.hand = part.hand;
    if (i == melody) drafted.plan.role = Role::kMelody;
    if (bass == i) drafted.plan.role = Role::kBass;
    if (measures.size() > 1) drafted.words = words_of(measures[i], drafted.plan.role);
    parts.push_back(std::move(drafted));
  }
  return parts;
}

Score with_drafted_hands(Score score) {
  const auto pitched = std::ranges::find_if(score.parts, is_pitched);
  if (std::ranges::count_if(score.parts, is_pitched) != 1) return score;
  const auto index = static_cast<std::size_t>(pitched - score.parts.begin());
  if (pitched->hand != Hand::kBoth || !needs_two_hands(score, index)) return score;
  std::vector<bool> parted(score.parts.size());
  parted[index] = true;
  return with_hands(std::move(score), parted);
}

}  // namespace arsis
