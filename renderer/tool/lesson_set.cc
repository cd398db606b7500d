#include "tool/lesson_set.h"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>
#include <utility>

#include "base/check_sum.h"
#include "base/files.h"
#include "base/text.h"
#include "lesson/treatment.h"
#include "plan/plan_reader.h"
#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

// Goes up when the same words come to make another set.
constexpr int kSetVersion = 3;
// No reader takes more of a plan or a score.
constexpr std::size_t kMostInput = 256u << 20;
constexpr std::size_t kMostPlans = 50;

class SetBuilder {
 public:
  SetBuilder(const LessonArgs& args, const LessonWish& wish, int& code)
      : args_(args), wish_(wish), code_(code) {}

  std::optional<LessonSet> build() {
    if (!add_pieces() || !draw() || !find_soundfont() || !add_up()) return std::nullopt;
    code_ = kDone;
    return std::move(set_);
  }

 private:
  bool refuse(int code, const Diagnostics& errors) {
    report(errors);
    code_ = code;
    return false;
  }

  bool add_pieces() {
    if (args_.plans.size() > kMostPlans) {
      return refuse(kUsageAtFault,
                    fail({}, fmt::format("{} plans are too many", args_.plans.size()),
                         fmt::format("name at most {}", kMostPlans)));
    }
    PassageOptions words;
    words.tempo = args_.tempo;
    for (const std::string& plan : args_.plans) {
      auto prepared = prepare(plan, words, args_.levels, args_.audio.soundfont, code_);
      if (!prepared) return false;
      const Prepared& held =
          *set_.held.emplace_back(std::make_unique<Prepared>(*std::move(prepared)));
      const Loaded& loaded = held.loaded;
      set_.pieces.push_back(
          {loaded.plan, loaded.score, loaded.printed, loaded.bound, &held.instrument});
      set_.inputs.emplace_back(plan);
      if (!loaded.is_score_alone) set_.inputs.push_back(score_path(loaded.plan));
    }
    set_.title = args_.title.empty() ? titles() : args_.title;
    return true;
  }

  // Of all pieces, each once.
  std::string titles() const {
    std::vector<std::string> all;
    for (std::size_t i = 0; i < set_.held.size(); ++i) {
      const std::string title = set_.title_of_piece(i);
      if (!title.empty() && std::ranges::find(all, title) == all.end()) all.push_back(title);
    }
    std::string text;
    for (const std::string& title : all) text += (text.empty() ? "" : " · ") + title;
    return text;
  }

  bool draw() {
    set_.questions = draw_questions(set_.pieces, wish_.wishes);
    if (set_.questions.empty()) {
      return refuse(
          kInputAtFault,
          fail({.file = args_.plans.front()}, "has no passage that such a question can be asked of",
               "for motif-leads and phrase-ends a plan needs phrases of two or more "
               "motifs, for phrase-leads and level-missing sentences of two or more "
               "phrases, for diminuendo a printed one over which something rises so "
               "far that one hears it"));
    }
    say_what_is_not_asked();
    for (const Question& question : set_.questions) {
      set_.sound += longest_choice(set_.piece_of(question), question) *
                    static_cast<double>(question.choices.size());
    }
    if (set_.sound <= kLongestLesson) return true;
    return refuse(kInputAtFault,
                  fail({},
                       fmt::format("{} questions with all their answers sound for {:.0f} "
                                   "minutes, too long for one set",
                                   set_.questions.size(), set_.sound.value / 60.0),
                       fmt::format("{:.0f} minutes are possible: ask fewer, or --kinds about "
                                   "phrases",
                                   kLongestLesson.value / 60.0)));
  }

  // Of the kinds that were asked for by name: a round holds each kind that has a passage.
  void say_what_is_not_asked() const {
    const std::vector<QuestionKind>& kinds = wish_.wishes.kinds;
    if (args_.kinds.empty() || set_.questions.size() < kinds.size()) return;
    for (const QuestionKind kind : kinds) {
      if (std::ranges::find(set_.questions, kind, &Question::kind) != set_.questions.end())
        continue;
      report({warning({}, fmt::format("no passage is there for {}", kKindNames[index_of(kind)]),
                      "the set is made without it")});
    }
  }

  bool find_soundfont() {
    Result<fs::path> soundfont = choose_soundfont(args_.audio.soundfont, args_.plans.front());
    if (!soundfont) return refuse(kDeviceMissing, soundfont.diagnostics());
    set_.soundfont = *std::move(soundfont);
    set_.soundfont_beneath = soundfont_beneath(args_.audio.soundfont, set_.soundfont);
    return true;
  }

  bool add_up() {
    std::uint64_t sum = kNoBytesSum;
    for (const fs::path& input : set_.inputs) {
      const Result<Bytes> bytes = read_file(input, kMostInput);
      if (!bytes) return refuse(kInputAtFault, bytes.diagnostics());
      sum = check_sum(fmt::format("file of {} bytes\n", bytes->size()), sum);
      sum = check_sum(*bytes, sum);
    }
    set_.inputs.push_back(set_.soundfont);
    sum = check_sum(words(), sum);
    set_.sum = sum;
    return true;
  }

  // What was asked for, whatever way it was written.
  std::string words() const {
    const LessonWishes& wishes = wish_.wishes;
    std::string text = fmt::format("set {}\nquestions {}\nkinds", kSetVersion, wishes.count);
    for (const QuestionKind kind : wishes.kinds) text += fmt::format(" {}", index_of(kind));
    text += fmt::format("\namount {} {}\norder {}\n", wishes.first_amount, wishes.last_amount,
                        wishes.seed);
    for (const auto& held : set_.held) text += fmt::format("speed {}\n", held->passage.speed);
    text += fmt::format("levels {}\n", args_.levels.levels);
    text += fmt::format("title {}\npaper {}\nstaff {}\nending {}\n", set_.title, wish_.paper.name,
                        wish_.staff, wish_.ending);
    const LevelTarget& level = wish_.audio.level;
    text +=
        fmt::format("rate {}\nbits {}\nreverb {}\nloudness {}\npeak {}\n", wish_.audio.sample_rate,
                    wish_.settings.depth ? static_cast<int>(*wish_.settings.depth) : -1,
                    wish_.audio.reverb, level.loudness ? level.loudness->value : 0.0,
                    level.true_peak ? level.true_peak->value : 0.0);
    return text + instrument(set_.soundfont) + instrument(set_.soundfont_beneath);
  }

  static std::string instrument(const fs::path& soundfont) {
    if (soundfont.empty()) return "soundfont none\n";
    std::error_code ignored;
    return fmt::format("soundfont {} {} {}\n", soundfont.filename().string(),
                       fs::file_size(soundfont, ignored),
                       fs::last_write_time(soundfont, ignored).time_since_epoch().count());
  }

  const LessonArgs& args_;
  const LessonWish& wish_;
  int& code_;
  LessonSet set_;
};

}  // namespace

std::string LessonSet::title_of_piece(std::size_t piece) const {
  return title_of(held[piece]->loaded);
}

std::optional<LessonSet> lesson_set_of(const LessonArgs& args, const LessonWish& wish, int& code) {
  return SetBuilder(args, wish, code).build();
}

}  // namespace arsis
