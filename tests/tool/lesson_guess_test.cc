// Nobody who looks at a set without listening does better than chance: by size, length, loudness,
// order, time of writing, or with the plan at hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "base/binomial.h"
#include "lesson/guessing.h"
#include "lesson/treatment.h"
#include "sound/loudness.h"
#include "sound/recording.h"
#include "tool/lesson_bench.h"
#include "tool/lesson_papers.h"
#include "tool/lesson_picture.h"
#include "tool/lesson_sound.h"

namespace arsis::test {
namespace {

namespace fs = std::filesystem;

// What can be seen of a clip without listening to it.
struct Looks {
  double size = 0.0;      // bytes
  double length = 0.0;    // seconds
  double loudness = 0.0;  // LUFS
  double peak = 0.0;      // dBFS of the samples
  double written = 0.0;   // the time, seconds

  bool operator==(const Looks&) const = default;
};

Looks looks_of(const fs::path& clip) {
  const Recording recording = read_recording(clip);
  LoudnessMeter meter(recording.rate, PeakKind::kSample);
  std::vector<float> samples;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    samples.insert(samples.end(), {recording.left[i], recording.right[i]});
  }
  meter.add(samples);
  Looks looks;
  looks.size = static_cast<double>(fs::file_size(clip));
  looks.length = static_cast<double>(recording.left.size()) / recording.rate;
  looks.loudness = meter.loudness().value_or(Lufs{0.0}).value;
  looks.peak = meter.true_peak().value;
  looks.written =
      std::chrono::duration<double>(fs::last_write_time(clip).time_since_epoch()).count();
  return looks;
}

// A set with its clips.
class MadeSet {
 public:
  MadeSet(const LessonBench& bench, LessonArgs args) {
    args.output = (bench.path() / ("set" + std::to_string(++count_))).string();
    const Result<LessonWish> wish = lesson_wish_of(args);
    EXPECT_TRUE(wish);
    wish_ = *wish;
    int code = 0;
    auto set = lesson_set_of(args, *wish, code);
    EXPECT_TRUE(set);
    set_ = *std::move(set);
    folder_ = args.output;
  }

  LessonSet& set() { return set_; }
  const std::vector<Question>& questions() const { return set_.questions; }

  // Writes them to a folder of that name.
  LessonSound make(const std::string& name) {
    LessonFiles files{folder_ + name, set_.questions.size(), wish_.ending, {}, set_.sum};
    files_ = files;
    const Result<LessonFolder> folder = LessonFolder::open(files);
    EXPECT_TRUE(folder);
    int code = 0;
    auto sound = make_lesson_sound(set_, wish_, *folder, code);
    EXPECT_TRUE(sound);
    return *std::move(sound);
  }
  fs::path clip(std::size_t number) const { return clip_path(files_, number); }

 private:
  static inline int count_ = 0;
  LessonWish wish_;
  LessonSet set_;
  std::string folder_;
  LessonFiles files_;
};

// The same question with each of its answers: but for the sound, the clip is the same.
TEST(LessonGuessing, WhateverTheAnswerTheClipLooksTheSame) {
  const LessonBench bench;
  for (const std::string format : {"mp3", "wav"}) {
    SCOPED_TRACE(format);
    LessonArgs args = bench.args();
    args.questions = "6";  // each kind once
    args.format = format;
    MadeSet made(bench, args);
    std::vector<Looks> first;
    std::vector<LessonPart> parts;
    for (std::size_t answer = 0; answer < 3; ++answer) {
      for (Question& each : made.set().questions) each.answer = answer % each.choices.size();
      LessonSound sound = made.make(std::to_string(answer));
      for (std::size_t i = 0; i < made.questions().size(); ++i) {
        const Looks looks = looks_of(made.clip(i));
        if (answer == 0) {
          first.push_back(looks);
          parts.push_back(sound.parts[i]);
          continue;
        }
        EXPECT_EQ(looks.size, first[i].size) << i;
        EXPECT_EQ(looks.length, first[i].length) << i;
        // The coders change the loudness by a little.
        EXPECT_NEAR(looks.loudness, first[i].loudness, 0.1) << i;
        EXPECT_EQ(sound.parts[i].sounds, parts[i].sounds) << i;
      }
    }
    // As that of .mp3 at this rate, which the encoder turns down, all alike.
    const double loudness = format == "mp3" ? -23.45 : -23.0;
    for (const Looks& looks : first) EXPECT_NEAR(looks.loudness, loudness, 0.1);
  }
}

// The students' sheet says what is asked and nothing else; the key says what is heard.
TEST(LessonGuessing, WhateverTheAnswerTheSheetIsTheSame) {
  const LessonBench bench;
  LessonArgs args = bench.args();
  args.questions = "12";
  MadeSet made(bench, args);
  std::set<std::string> sheets;
  std::set<std::string> keys;
  for (std::size_t answer = 0; answer < 3; ++answer) {
    for (Question& each : made.set().questions) each.answer = answer % each.choices.size();
    sheets.insert(question_sheet_html(student_sheet(made.set(), kA4), kA4));
    const QuestionSheet key = key_sheet(made.set(), kA4);
    keys.insert(question_sheet_html(key, kA4));
    ASSERT_EQ(key.answers.size(), 12u);
    for (std::size_t i = 0; i < 12; ++i) {
      const Question& question = made.questions()[i];
      EXPECT_EQ(key.answers[i], std::to_string(i + 1) + std::string(1, "abcd"[question.answer]));
      EXPECT_EQ(key.questions[i].answer, question.answer);
      EXPECT_FALSE(key.questions[i].picture.empty());
      // Of the plan's own answer only where it is another.
      const std::size_t own = plans_own(made.set().piece_of(question), question);
      const bool differs = own < question.choices.size() && own != question.answer;
      EXPECT_EQ(key.questions[i].remark.find("Your plan says") != std::string::npos, differs) << i;
    }
  }
  EXPECT_EQ(sheets.size(), 1u);
  EXPECT_EQ(keys.size(), 3u);
}

// A piece's staves are engraved in one go, and what two pieces name alike is kept apart.
TEST(LessonStrips, AskForAllStavesOfAPieceAtOnce) {
  const LessonBench bench;
  copy_demo(bench, "mill-round.mid");
  LessonArgs args = bench.args();
  args.plans.push_back((bench.path() / "mill-round.mid").string());
  args.questions = "12";
  MadeSet made(bench, args);
  int calls = 0;
  const FieldSource staves = [&](std::span<const System> systems, Millimetres) {
    ++calls;
    std::vector<std::optional<NoteField>> fields;
    for (const System& system : systems) {
      const std::string id = "n" + std::to_string(fields.size());
      fields.push_back(NoteField{
          .svg = "<g data-id=\"x\"><path id=\"" + id + "\"/><use href=\"#" + id + "\"/></g>",
          .width = {100.0},
          .height = {30.0},
          .hang = {},
          .waypoints = {{system.span.begin, {0.0}}, {system.span.end, {100.0}}},
          .heads = {}});
    }
    return fields;
  };
  const std::vector<FieldSource> sources(2, staves);
  const auto strips = question_strips(made.set().pieces, made.questions(), sources, {170.0});
  EXPECT_EQ(calls, 2);
  std::set<std::string> ids;
  for (std::size_t i = 0; i < strips.size(); ++i) {
    for (const DrawnSystem& strip : strips[i]) {
      const std::string begin =
          "<g data-id=\"x\"><path id=\"p" + std::to_string(made.questions()[i].piece) + "-n";
      const auto at = strip.svg.find(begin);
      ASSERT_NE(at, std::string::npos) << strip.svg;
      const std::string id = strip.svg.substr(at + begin.size() - 4,
                                              strip.svg.find("\"/>", at) - at - begin.size() + 4);
      EXPECT_NE(strip.svg.find("href=\"#" + id + "\""), std::string::npos) << id;
      EXPECT_TRUE(ids.insert(id).second) << id;
    }
  }
  EXPECT_GE(ids.size(), 12u);
}

// How many of those guesses are right, beside chance.
struct Tally {
  int right = 0;
  double expected = 0.0;
  double variance = 0.0;
  int of_two = 0;  // questions with two choices
  int right_of_two = 0;

  void add(const Question& question, std::size_t guess) {
    const double chance = 1.0 / static_cast<double>(question.choices.size());
    const bool hit = guess == question.answer;
    right += hit ? 1 : 0;
    expected += chance;
    variance += chance * (1.0 - chance);
    if (question.choices.size() != 2) return;
    ++of_two;
    right_of_two += hit ? 1 : 0;
  }
  double advantage() const { return (right - expected) / std::sqrt(variance); }
  double p() const { return at_least_by_chance(right_of_two, of_two); }
};

// One number for each question: what somebody looks at.
using Feature = std::vector<double>;

// Learns from the questions with even numbers which answers go with low, middle and high values of
// the feature, for each kind by itself, and guesses the others.
Tally learned(const std::vector<Question>& questions, const Feature& feature) {
  using Key = std::pair<std::size_t, std::size_t>;  // kind, number of choices
  constexpr std::size_t kBins = 3;
  std::map<Key, std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    groups[{index_of(questions[i].kind), questions[i].choices.size()}].push_back(i);
  }
  Tally tally;
  for (auto& [key, members] : groups) {
    std::vector<double> values;
    for (const std::size_t i : members) values.push_back(feature[i]);
    std::ranges::sort(values);
    const auto bin = [&](std::size_t i) {
      const auto below = std::ranges::lower_bound(values, feature[i]) - values.begin();
      return static_cast<std::size_t>(below) * kBins / values.size();
    };
    std::vector<std::vector<int>> counts(kBins, std::vector<int>(key.second, 0));
    for (std::size_t k = 0; k < members.size(); k += 2) {
      ++counts[bin(members[k])][questions[members[k]].answer];
    }
    for (std::size_t k = 1; k < members.size(); k += 2) {
      const std::vector<int>& seen = counts[bin(members[k])];
      const auto most = std::ranges::max_element(seen) - seen.begin();
      tally.add(questions[members[k]], static_cast<std::size_t>(most));
    }
  }
  return tally;
}

// What each choice of each question would be like, played by somebody who has the plan.
using Expected = std::vector<std::vector<double>>;

double mean_of(std::span<const double> values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

double median_of(std::vector<double> values) {
  std::ranges::sort(values);
  return values[values.size() / 2];
}

// Guesses the choice that comes nearest, once what all clips have in common (a tail, a gain) is
// allowed for.
Tally compared(const std::vector<Question>& questions, const Feature& feature,
               const Expected& expected) {
  std::vector<double> common;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    common.push_back(feature[i] - mean_of(expected[i]));
  }
  const double offset = median_of(common);
  Tally tally;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    const auto nearest = std::ranges::min_element(
        expected[i], {}, [&](double value) { return std::abs(value + offset - feature[i]); });
    tally.add(questions[i], static_cast<std::size_t>(nearest - expected[i].begin()));
  }
  return tally;
}

Expected expected_of(const LessonSet& set, double (*measure)(const Performance&)) {
  Expected all;
  for (const Question& question : set.questions) {
    std::vector<double>& choices = all.emplace_back();
    for (std::size_t i = 0; i < question.choices.size(); ++i) {
      choices.push_back(measure(perform_choice(set.piece_of(question), question, i).performance));
    }
  }
  return all;
}

double length_of(const Performance& performance) {
  double end = 0.0;
  for (const PerformedNote& note : performance.notes) end = std::max(end, note.end.value);
  return end;
}

// The mean power of all notes together, in dB; what a meter would say but for its gates and its
// weighting of pitches.
double power_of(const Performance& performance) {
  double energy = 0.0;
  for (const PerformedNote& note : performance.notes) {
    energy += std::pow(10.0, level_of(note.velocity).value / 10.0) * (note.end - note.onset).value;
  }
  return 10.0 * std::log10(energy / length_of(performance));
}

Feature of_answers(const LessonSet& set, const Expected& expected) {
  Feature feature;
  for (std::size_t i = 0; i < set.questions.size(); ++i) {
    feature.push_back(expected[i][set.questions[i].answer]);
  }
  return feature;
}

// Beyond it one fair set in a thousand would be.
constexpr double kMostOfChance = 3.1;  // standard deviations
constexpr double kLeastP = 0.001;

TEST(LessonGuessing, LooksTellNothing) {
  const LessonBench bench;
  LessonArgs args = bench.args();
  args.questions = "120";
  MadeSet made(bench, args);
  made.make("");
  const std::vector<Question>& questions = made.questions();
  ASSERT_EQ(questions.size(), 120u);
  std::map<std::string, Feature> features;
  double last = looks_of(made.clip(0)).written;
  for (std::size_t i = 0; i < questions.size(); ++i) {
    const Looks looks = looks_of(made.clip(i));
    features["size"].push_back(looks.size);
    features["length"].push_back(looks.length);
    features["loudness"].push_back(looks.loudness);
    features["peak"].push_back(looks.peak);
    features["number"].push_back(static_cast<double>(i));
    features["time it took"].push_back(looks.written - last);
    EXPECT_GE(looks.written, last) << i;
    last = looks.written;
  }
  for (const auto& [name, feature] : features) {
    const Tally tally = learned(questions, feature);
    EXPECT_LT(tally.advantage(), kMostOfChance) << name;
    EXPECT_GT(tally.p(), kLeastP) << name << ": " << tally.right_of_two << " of " << tally.of_two;
  }
  const Expected lengths = expected_of(made.set(), length_of);
  const Expected powers = expected_of(made.set(), power_of);
  EXPECT_LT(compared(questions, features["length"], lengths).advantage(), kMostOfChance);
  EXPECT_LT(compared(questions, features["size"], lengths).advantage(), kMostOfChance);
  EXPECT_LT(compared(questions, features["loudness"], powers).advantage(), kMostOfChance);

  // The guessers themselves: of clips that are neither filled up nor matched they know more.
  EXPECT_GT(compared(questions, of_answers(made.set(), lengths), lengths).advantage(),
            kMostOfChance);
  EXPECT_GT(compared(questions, of_answers(made.set(), powers), powers).advantage(), kMostOfChance);
  Feature answers;
  for (const Question& question : questions) {
    answers.push_back(static_cast<double>(question.answer));
  }
  EXPECT_GT(learned(questions, answers).advantage(), kMostOfChance);
}

}  // namespace
}  // namespace arsis::test
