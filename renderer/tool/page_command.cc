#include "tool/page_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>
#include <optional>

#include "base/files.h"
#include "base/text.h"
#include "page/evidence_remarks.h"
#include "page/printing.h"
#include "page/sheet.h"
#include "plan/plan_reader.h"
#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/report.h"
#include "tool/staves.h"
#include "tool/take_course.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::array<std::string_view, 4> kEndings = {".svg", ".pdf", ".png", ".html"};

// What the command line asks for, its words read.
struct PageWish {
  Paper paper;
  std::string ending;
  Layers layers;
  bool staff = true;
};

Result<PageWish> wish_of(const PageArgs& args) {
  Diagnostics errors;
  PageWish wish;
  wish.ending = lower_case(fs::path(args.output).extension().string());
  if (std::ranges::find(kEndings, wish.ending) == kEndings.end()) {
    errors.push_back(
        error({}, fmt::format("the ending of '{}' names no kind of page", printable(args.output)),
              "use " + listed(kEndings)));
  }
  if (wish.ending != ".html" && asks_for_sound(args.listening)) {
    errors.push_back(
        error({}, "--reading, --versions, --levels, --soundfont and --reverb are for .html",
              "a picture has no sound: leave them out"));
  }
  const std::optional<Paper> paper = paper_named(lower_case(trimmed(args.paper)));
  if (!paper) {
    errors.push_back(error({}, fmt::format("--paper cannot be '{}'", printable(args.paper)),
                           "write a4 or letter"));
  } else {
    wish.paper = args.landscape ? landscape(*paper) : *paper;
  }
  const std::string staff = lower_case(trimmed(args.staff));
  if (staff != "on" && staff != "off") {
    errors.push_back(
        error({}, fmt::format("--staff cannot be '{}'", printable(args.staff)), "write on or off"));
  }
  wish.staff = staff == "on";
  const Result<Layers> layers = layers_of(args.layers);
  errors.insert(errors.end(), layers.diagnostics().begin(), layers.diagnostics().end());
  if (!errors.empty()) return errors;
  wish.layers = *layers;
  return wish;
}

// "right hand (melody), left hand (accompaniment); bars 0 to 36".
std::string subtitle_of(const Loaded& loaded, Span passage) {
  std::string text;
  for (const BoundPart& part : loaded.bound.parts) {
    text += fmt::format("{}{} ({})", text.empty() ? "" : ", ",
                        part.name.empty() ? "unnamed" : part.name,
                        kRoleNames[static_cast<std::size_t>(part.role)]);
  }
  passage.end = std::min(passage.end, loaded.score.end());
  return bars_text(loaded.score.bars, passage) + " · " + text;
}

Result<Bytes> bytes_of(const Picture& picture, Span passage, const PageWish& wish,
                       const FieldSource& staves) {
  if (wish.ending == ".pdf") {
    const auto sheets = draw_pages(picture, passage, wish.paper, staves);
    if (!sheets) return sheets.diagnostics();
    return pdf_of(*sheets, picture.title);
  }
  const auto sheet = draw_sheet(picture, passage, wish.paper, staves);
  if (!sheet) return sheet.diagnostics();
  if (wish.ending == ".png") return png_of(*sheet);
  return Bytes(sheet->svg.begin(), sheet->svg.end());
}

// The file to be written. Reports what is wrong itself. None: with the exit code for it in `code`.
std::optional<Bytes> file_of(const PageArgs& args, const PageWish& wish, const Loaded& loaded,
                             const Passage& passage, const Picture& picture,
                             const AlignedTake* take, int& code) {
  const FieldSource staves = wish.staff ? staves_of(loaded) : FieldSource{};
  if (wish.ending == ".html") {
    const ListeningRequest request{loaded, passage, picture, staves, take, args.plan, args.output};
    const auto html = listening_html(request, args.listening, code);
    if (!html) return std::nullopt;
    return Bytes(html->begin(), html->end());
  }
  Result<Bytes> bytes = bytes_of(picture, passage.excerpt.span, wish, staves);
  report(bytes.diagnostics());
  if (bytes) return *std::move(bytes);
  code = kInputAtFault;
  return std::nullopt;
}

// Whether writing would destroy what the page is drawn from.
bool is_an_input(const PageArgs& args, const Loaded& loaded) {
  return same_file(args.output, args.plan) || same_file(args.output, score_path(loaded.plan)) ||
         same_file(args.output, args.take);
}

// None without one.
Result<std::optional<AlignedTake>> take_of(const PageArgs& args, const Loaded& loaded) {
  if (args.take.empty()) return std::optional<AlignedTake>();
  Result<AlignedTake> take = read_take_of(loaded, args.take);
  if (!take) return take.diagnostics();
  return {std::optional(*std::move(take)), take.diagnostics()};
}

// Draws and writes it.
int draw(const PageArgs& args, const PageWish& wish, const Loaded& loaded, const Passage& passage,
         const std::optional<AlignedTake>& take) {
  const Layers layers = layers_for(loaded, wish.layers, args.layers);
  const Shaped shaped = perform(loaded.score, loaded.bound, layers);
  Picture picture{loaded.score, loaded.bound, shaped.levels, layers, {}, {}, {}, {}};
  picture.title = title_of(loaded);
  picture.subtitle = subtitle_of(loaded, passage.excerpt.span);
  picture.courses.push_back(course_of(loaded.score, loaded.bound, shaped, "the plan"));
  if (take) picture.courses.push_back(course_of_take(loaded, *take));
  if (args.evidence) {
    picture.remarks = evidence_remarks({loaded.score, loaded.bound, loaded.printed});
  }
  int code = kDone;
  const std::optional<Bytes> bytes =
      file_of(args, wish, loaded, passage, picture, take ? &*take : nullptr, code);
  if (!bytes) return code;
  const Result<Done> written = write_file(args.output, *bytes);
  report(written.diagnostics());
  if (!written) return kInputAtFault;
  fmt::print("wrote {}\n", printable(args.output, kLongestPath));
  return kDone;
}

}  // namespace

int run_page(const PageArgs& args) {
  const Result<PageWish> wish = wish_of(args);
  report(wish.diagnostics());
  if (!wish) return kUsageAtFault;
  const Result<Loaded> loaded = load(args.plan);
  report(loaded.diagnostics());
  if (!loaded) return kInputAtFault;
  if (is_an_input(args, *loaded)) {
    report(fail({.file = args.output}, "is what the page is drawn from",
                "name another file to write"));
    return kUsageAtFault;
  }
  const Result<Passage> passage = passage_of(args.passage, *loaded);
  report(passage.diagnostics());
  if (!passage) return kUsageAtFault;
  const auto take = take_of(args, *loaded);
  report(take.diagnostics());
  if (!take) return kInputAtFault;
  return draw(args, *wish, *loaded, *passage, *take);
}

void add_page(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<PageArgs>();
  CLI::App* command = app.add_subcommand("page", "Draw the marked score, to look at and to print");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  command
      ->add_option("-o,--output", args->output,
                   "the file to write: .svg, .pdf, .png, or .html to listen to")
      ->required();
  command->add_option("--paper", args->paper, "a4 or letter")->capture_default_str();
  command->add_flag("--landscape", args->landscape, "the paper on its side");
  command->add_flag("--evidence", args->evidence,
                    "with what the score speaks for, in words, under each line");
  command
      ->add_option("--staff", args->staff,
                   "on: notes of MusicXML as an engraved staff, where the library is; off: by "
                   "pitch and time")
      ->capture_default_str();
  command->add_option(
      "--take", args->take,
      "a recorded take, a MIDI file, drawn over what the plan asks for; in .html heard as "
      "well");
  add_layer_options(*command, args->layers);
  add_span_options(*command, args->passage);
  add_listening_options(*command, args->listening);
  command->callback([&run, args] { run = [args] { return run_page(*args); }; });
}

}  // namespace arsis
