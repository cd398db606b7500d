#include "tool/lesson.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <memory>

#include "base/files.h"
#include "base/text.h"
#include "page/printing.h"
#include "tool/exit_code.h"
#include "tool/lesson_folder.h"
#include "tool/lesson_html.h"
#include "tool/lesson_papers.h"
#include "tool/lesson_set.h"
#include "tool/lesson_sound.h"
#include "tool/lesson_wish.h"
#include "tool/report.h"

namespace arsis {
namespace {

const std::vector<std::string> kPapers = {"student.html", "student.pdf", "key.html", "key.pdf",
                                          "lesson.html"};

Result<Done> write_sheet(const LessonFolder& folder, const std::string& name,
                         const QuestionSheet& sheet, Paper paper) {
  const std::string html = question_sheet_html(sheet, paper);
  const Result<Done> written =
      write_file(folder.file(name + ".html"), Bytes(html.begin(), html.end()));
  if (!written) return written;
  const Result<Bytes> pdf = pdf_of(draw_question_sheets(sheet, paper), sheet.title);
  if (!pdf) return pdf.diagnostics();
  return write_file(folder.file(name + ".pdf"), *pdf);
}

Result<Done> write_papers(const LessonFolder& folder, const LessonSet& set,
                          const LessonWish& wish) {
  const Paper paper = wish.paper;
  const Result<Done> written =
      write_sheet(folder, "student", student_sheet(set, paper, wish.staff), paper);
  return written ? write_sheet(folder, "key", key_sheet(set, paper), paper) : written;
}

Result<Done> write_page(const LessonFolder& folder, const LessonSet& set,
                        std::vector<LessonPart> parts, int sample_rate) {
  const std::string html = lesson_html(set, std::move(parts), sample_rate);
  return write_file(folder.file("lesson.html"), Bytes(html.begin(), html.end()));
}

// Whether writing would destroy what the set is made from; says so.
bool destroys_a_source(const LessonSet& set, const LessonFiles& files) {
  std::vector<std::filesystem::path> outputs;
  for (const std::string& paper : files.papers) outputs.push_back(files.folder / paper);
  for (std::size_t i = 0; i < files.questions; ++i) outputs.push_back(clip_path(files, i));
  for (const std::filesystem::path& input : set.inputs) {
    for (const std::filesystem::path& output : outputs) {
      if (!same_file(input, output)) continue;
      report(fail({.file = output.string()}, "is what the set is made from",
                  "name another folder to write"));
      return true;
    }
  }
  return false;
}

// "24 questions (order 1, TimGM6mb.sf2)".
std::string set_summary(const LessonSet& set, const LessonWish& wish) {
  const std::size_t count = set.questions.size();
  return fmt::format("{} question{} (order {}, {})", count, count == 1 ? "" : "s", wish.wishes.seed,
                     set.soundfont.filename().string());
}

void say_what_is_written(const std::string& folder, const std::string& summary,
                         const LessonSound& sound) {
  const std::string kept =
      sound.kept > 0 ? fmt::format(", {} of them from before", sound.kept) : std::string();
  fmt::print("wrote {}: {}{}\n", folder, summary, kept);
  if (sound.softened > 0) {
    fmt::print("  {} softer than asked for, because of the peak\n", sound.softened);
  }
}

}  // namespace

int run_lesson(const LessonArgs& args) {
  const Result<LessonWish> wish = lesson_wish_of(args);
  if (!wish) return report(wish.diagnostics()), kUsageAtFault;
  int code = kDone;
  const auto set = lesson_set_of(args, *wish, code);
  if (!set) return code;
  LessonFiles files{args.output, set->questions.size(), wish->ending, kPapers, set->sum};
  if (destroys_a_source(*set, files)) return kUsageAtFault;
  if (const Diagnostics found = LessonFolder::in_the_way(files); !found.empty() && !args.force) {
    return report(found), kUsageAtFault;
  }
  const Result<LessonFolder> folder = LessonFolder::open(std::move(files));
  if (!folder) return report(folder.diagnostics()), kInputAtFault;
  const std::string name = printable(args.output, kLongestPath);
  const std::string summary = set_summary(*set, *wish);
  if (folder->is_whole()) {
    fmt::print("{} is whole already: {}\n", name, summary);
    return kDone;
  }
  auto sound = make_lesson_sound(*set, *wish, *folder, code);
  if (!sound) return code;
  Result<Done> written = write_papers(*folder, *set, *wish);
  if (written)
    written = write_page(*folder, *set, std::move(sound->parts), wish->audio.sample_rate);
  if (!written) return report(written.diagnostics()), kInputAtFault;
  const Result<Done> finished = folder->finish();
  if (!finished) return report(finished.diagnostics()), kInputAtFault;
  say_what_is_written(name, summary, *sound);
  return kDone;
}

void add_lesson(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<LessonArgs>();
  CLI::App* command = app.add_subcommand(
      "lesson", "Make an ear-training set for a class: clips, sheets, and a page that asks");
  command->add_option("plans", args->plans, "the phrase plans, YAML files; or scores")->required();
  command->add_option("-o,--output", args->output, "the folder to write")->required();
  command->add_flag("--force", args->force, "replace another set that is in the folder");
  command->add_option("--questions", args->questions, "how many to ask, 1 to 200")
      ->capture_default_str();
  command
      ->add_option("--kinds", args->kinds,
                   "what to ask, joined by commas, of motif-leads,phrase-leads,flat-or-shaped,"
                   "level-missing,phrase-ends,diminuendo; all of them if you say nothing")
      ->delimiter(',')
      ->allow_extra_args(false);
  command
      ->add_option("--amount", args->amount,
                   "how much shape, from the first question to the last; the less, the harder")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->capture_default_str();
  command
      ->add_option("--order", args->order,
                   "a whole number: the same one makes the same set, another one another")
      ->capture_default_str();
  command
      ->add_option("--tempo", args->tempo,
                   "how fast: a share of the score's tempo, as in 60%, or '72 bpm'")
      ->capture_default_str();
  command->add_option("--title", args->title, "over the sheets; the pieces' titles otherwise");
  command->add_option("--paper", args->paper, "of the sheets: a4 or letter")->capture_default_str();
  command
      ->add_option("--staff", args->staff,
                   "on: notes of MusicXML as an engraved staff on the students' sheet, where the "
                   "library is; off: by pitch and time")
      ->capture_default_str();
  command
      ->add_option("--format", args->format,
                   "of the clips: mp3 or wav, whose size tells nothing but the length")
      ->capture_default_str();
  add_level_options(*command, args->levels);
  add_audio_options(*command, args->audio);
  command->callback([&run, args] { run = [args] { return run_lesson(*args); }; });
}

}  // namespace arsis
