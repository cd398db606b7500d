#include "tool/lesson_wish.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.h"
#include "tool/render_job.h"

namespace arsis {
namespace {

constexpr std::array<std::string_view, 2> kFormats = {"mp3", "wav"};
// Softer than most music is kept, so that every clip can come to it without its peaks passing their
// limit. Source: EBU R 128, programme loudness.
constexpr Lufs kClipLoudness{-23.0};
// Of the clips' rates those that the page's coder takes, too. Source: RFC 6716 section 2.
constexpr std::array kRates = {24'000, 48'000};
constexpr double kLeastLessonAmount = 1.0;  // percent
constexpr double kMostLessonAmount = 200.0;

class WishReader {
 public:
  explicit WishReader(const LessonArgs& args) : args_(args) {}

  Result<LessonWish> read() {
    read_count();
    read_kinds();
    read_amounts();
    read_order();
    read_paper();
    read_staff();
    read_sound();
    append(errors_, level_usage(args_.levels));
    if (!errors_.empty()) return errors_;
    return std::move(wish_);
  }

 private:
  void refuse(std::string_view option, std::string_view text, std::string remedy) {
    errors_.push_back(
        error({}, fmt::format("{} cannot be '{}'", option, printable(text)), std::move(remedy)));
  }

  void read_count() {
    const auto count = parse_integer(trimmed(args_.questions));
    if (!count || *count < 1 || *count > static_cast<std::int64_t>(kMostQuestions)) {
      return refuse("--questions", args_.questions,
                    fmt::format("write how many to ask, 1 to {}", kMostQuestions));
    }
    wish_.wishes.count = static_cast<std::size_t>(*count);
  }

  void read_kinds() {
    if (args_.kinds.empty()) return;
    wish_.wishes.kinds.clear();
    for (const std::string& text : args_.kinds) {
      const std::string word = lower_case(trimmed(text));
      const auto* const known = std::ranges::find(kKindNames, word);
      if (known == kKindNames.end()) {
        const auto nearest = nearest_word(word, kKindNames);
        refuse("--kinds", text,
               nearest ? fmt::format("did you mean {}?", *nearest) : "write " + listed(kKindNames));
        continue;
      }
      const auto kind = static_cast<QuestionKind>(known - kKindNames.begin());
      if (std::ranges::find(wish_.wishes.kinds, kind) != wish_.wishes.kinds.end()) {
        refuse("--kinds", text, "write each kind once");
        continue;
      }
      wish_.wishes.kinds.push_back(kind);
    }
  }

  void read_amounts() {
    if (args_.amount.empty() || args_.amount.size() > 2) {
      errors_.push_back(error({}, fmt::format("--amount has {} shares", args_.amount.size()),
                              "write that of the first question and that of the last, 200%,50%"));
      return;
    }
    wish_.wishes.first_amount = amount_of(args_.amount.front());
    wish_.wishes.last_amount =
        args_.amount.size() == 1 ? wish_.wishes.first_amount : amount_of(args_.amount.back());
  }

  double amount_of(const std::string& text) {
    const auto parsed = parse_number_with_unit(text);
    const bool fits = parsed && (parsed->unit == "%" || parsed->unit.empty()) &&
                      parsed->number >= kLeastLessonAmount && parsed->number <= kMostLessonAmount;
    if (fits) return parsed->number / 100.0;
    refuse("--amount", text, "write 1% to 200%; of nothing nothing is heard");
    return 1.0;
  }

  void read_order() {
    const auto order = parse_integer(trimmed(args_.order));
    if (!order || *order < 0) {
      return refuse("--order", args_.order, "write a whole number, 0 or above");
    }
    wish_.wishes.seed = static_cast<std::uint64_t>(*order);
  }

  void read_paper() {
    const std::optional<Paper> paper = paper_named(lower_case(trimmed(args_.paper)));
    if (!paper) return refuse("--paper", args_.paper, "write a4 or letter");
    wish_.paper = *paper;
  }

  void read_staff() {
    const std::string staff = lower_case(trimmed(args_.staff));
    if (staff != "on" && staff != "off") refuse("--staff", args_.staff, "write on or off");
    wish_.staff = staff == "on";
  }

  void read_sound() {
    const std::string format = lower_case(trimmed(args_.format));
    if (std::ranges::find(kFormats, format) == kFormats.end()) {
      refuse("--format", args_.format,
             "write mp3 or wav: of the others the size tells how much sounds in a clip");
    }
    wish_.ending = "." + format;
    Result<AudioRequest> audio = audio_request_of(args_.audio);
    append(errors_, audio.diagnostics());
    if (!audio) return;
    if (std::ranges::find(kRates, audio->sample_rate) == kRates.end()) {
      refuse("--rate", args_.audio.rate, "write 24000 or 48000, which the page takes, too");
    }
    wish_.audio = *std::move(audio);
    if (!wish_.audio.level.loudness) wish_.audio.level.loudness = kClipLoudness;
    wish_.settings = settings_of(wish_.audio);
    wish_.settings.constant_rate = true;
    wish_.settings.tags = {.title = "", .album = "", .comment = ""};
    if (errors_.empty()) {
      append(errors_, check_audio("clip" + wish_.ending, wish_.settings).diagnostics());
    }
  }

  const LessonArgs& args_;
  LessonWish wish_;
  Diagnostics errors_;
};

}  // namespace

Result<LessonWish> lesson_wish_of(const LessonArgs& args) { return WishReader(args).read(); }

}  // namespace arsis
