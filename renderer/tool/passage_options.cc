#include "tool/passage_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "plan/values.h"
#include "score/click.h"
#include "shape/sing.h"

namespace arsis {
namespace {

constexpr double kSlowest = 0.1;
constexpr double kFastest = 4.0;
constexpr const char* kTempoRemedy =
    "write a share of the score's tempo, 10% to 400%, or beats a minute, as in '72 bpm'";

// The index of the block that "2", "2.1" or "2.1.3" names at its level.
std::optional<std::size_t> block_named(const BoundPlan& plan, Level level, std::string_view name) {
  const std::vector<Block>& blocks = plan.level(level);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    if (block_name(plan, level, i) == trimmed(name)) return i;
  }
  return std::nullopt;
}

// Where everything ends that the score holds.
Beats end_of(const Score& score) {
  Beats end = score.end();
  for (const Track& track : score.tracks) end = std::max(end, track.end);
  for (const Message& message : score.messages) end = std::max(end, message.at);
  return end + Beats{1.0 / score.division};
}

class PassageReader {
 public:
  PassageReader(const PassageOptions& options, const Loaded& loaded)
      : options_(options), loaded_(loaded) {}

  Result<Passage> read() {
    read_span();
    read_speed();
    read_parts();
    read_count_in();
    read_voice();
    if (!errors_.empty()) return errors_;
    passage_.excerpt.click = options_.click;
    if (options_.click) passage_.whole = false;
    if (sounds()) return passage_;
    return {passage_,
            {warning({}, "the passage holds no notes that are to be heard",
                     "choose another passage, or other parts")}};
  }

 private:
  void refuse(std::string problem, std::string remedy) {
    errors_.push_back(error({}, std::move(problem), std::move(remedy)));
  }

  bool sounds() const {
    const std::vector<Note>& notes = loaded_.score.notes;
    const auto is_heard = [&](const Note& note) {
      const std::vector<Hearing>& parts = passage_.excerpt.parts;
      return passage_.excerpt.span.holds(note.onset) &&
             (parts.empty() || parts[note.part] == Hearing::kHeard);
    };
    if (passage_.voice == Voice::kScore) return std::ranges::any_of(notes, is_heard);
    return std::ranges::any_of(loaded_.bound.melody,
                               [&](std::size_t place) { return is_heard(notes[place]); });
  }

  void read_block(Level level, std::string_view option, const std::string& name,
                  std::string_view example) {
    if (name.empty()) return;
    if (loaded_.bound.sentences.empty()) {
      refuse(fmt::format("{}: there are no blocks in a score without a plan", option),
             "name a passage by bars, with --from and --to");
      return;
    }
    const auto found = block_named(loaded_.bound, level, name);
    if (!found) {
      refuse(fmt::format("{}: there is no {} '{}'", option, name_of(level), printable(name)),
             fmt::format("write one as 'arsis check' names it, as in '{}'", example));
      return;
    }
    passage_.excerpt.span = loaded_.bound.level(level)[*found].span;
    passage_.whole = false;
  }

  // A passage may end with the first beat of the bar after the last, as a musician would write it.
  std::optional<Beats> moment_of(Position position, bool ends) const {
    const Bar& last = loaded_.score.bars.all().back();
    if (ends && position.bar == last.number + 1 && position.beat == 1.0) return last.span.end;
    return loaded_.score.bars.moment_of(position);
  }

  void read_position(std::string_view option, const std::string& text, Beats& moment) {
    if (text.empty()) return;
    const auto position = parse_position(trimmed(text));
    const auto found = position ? moment_of(*position, option == "--to") : std::nullopt;
    if (!found) {
      const auto bars = loaded_.score.bars.all();
      refuse(fmt::format("{}: there is no place '{}' in the score", option, printable(text)),
             fmt::format("write bar and beat, as in '9:1', in bars {} to {}", bars.front().number,
                         bars.back().number));
      return;
    }
    moment = *found;
    passage_.whole = false;
  }

  void read_span() {
    Span& span = passage_.excerpt.span;
    span = {{0.0}, end_of(loaded_.score)};
    const bool range = !options_.from.empty() || !options_.to.empty();
    const int named = !options_.sentence.empty() + !options_.phrase.empty() +
                      !options_.motif.empty() + (range ? 1 : 0);
    if (named > 1) {
      return refuse("more than one passage is named",
                    "write one of --sentence, --phrase, --motif, or --from with --to");
    }
    read_block(Level::kSentence, "--sentence", options_.sentence, "2");
    read_block(Level::kPhrase, "--phrase", options_.phrase, "2.1");
    read_block(Level::kMotif, "--motif", options_.motif, "2.1.3");
    const std::size_t before = errors_.size();
    read_position("--from", options_.from, span.begin);
    read_position("--to", options_.to, span.end);
    if (errors_.size() == before && span.end <= span.begin) {
      refuse("the passage ends before it begins", "write a --to after --from");
    }
  }

  // The score's counted beats a minute where the passage begins.
  double written_tempo() const {
    const Beats begin = passage_.excerpt.span.begin;
    const double beat = counted_beat(loaded_.score.bars.at(begin).signature).value;
    return 60e6 /
           (static_cast<double>(loaded_.score.tempo.microseconds_per_quarter_at(begin)) * beat);
  }

  void read_speed() {
    const auto tempo = parse_number_with_unit(options_.tempo);
    if (!tempo || (tempo->unit != "%" && tempo->unit != "bpm")) {
      return refuse(fmt::format("--tempo cannot be '{}'", printable(options_.tempo)), kTempoRemedy);
    }
    passage_.speed = tempo->unit == "%" ? tempo->number / 100.0 : tempo->number / written_tempo();
    if (passage_.speed >= kSlowest && passage_.speed <= kFastest) return;
    refuse(fmt::format("--tempo '{}' is {} the score's {} bpm", printable(options_.tempo),
                       passage_.speed < kSlowest ? "too slow beside" : "too fast beside",
                       short_number(written_tempo(), 1)),
           kTempoRemedy);
  }

  std::vector<std::string_view> part_names() const {
    std::vector<std::string_view> names;
    for (const BoundPart& part : loaded_.bound.parts) names.push_back(part.name);
    return names;
  }

  // Marks the parts of that name.
  void mark(std::string_view option, const std::string& name, std::vector<bool>& marked) {
    const std::string wanted = lower_case(trimmed(name));
    bool found = false;
    for (std::size_t i = 0; i < loaded_.bound.parts.size(); ++i) {
      if (lower_case(loaded_.bound.parts[i].name) != wanted) continue;
      marked[i] = true;
      found = true;
    }
    if (found) return;
    const std::vector<std::string_view> names = part_names();
    std::string known;
    for (const std::string_view each : names) {
      known += fmt::format("{}'{}'", known.empty() ? "" : ", ",
                           each.empty() ? "unnamed" : printable(each));
    }
    refuse(fmt::format("{}: there is no part '{}'", option, printable(name)),
           "the parts are " + known);
  }

  void read_parts() {
    if (options_.part.empty() && options_.mute.empty()) return;
    const std::size_t count = loaded_.bound.parts.size();
    std::vector<bool> heard(count, options_.part.empty());
    std::vector<bool> muted(count, false);
    for (const std::string& name : options_.part) mark("--part", name, heard);
    for (const std::string& name : options_.mute) mark("--mute", name, muted);
    passage_.excerpt.parts.assign(count, Hearing::kHeard);
    bool any = false;
    for (std::size_t i = 0; i < count; ++i) {
      const bool is_heard = heard[i] && !muted[i];
      any |= is_heard;
      if (!is_heard) {
        passage_.excerpt.parts[i] = options_.keep_muted ? Hearing::kSilent : Hearing::kLeftOut;
      }
    }
    passage_.whole = false;
    if (!any && errors_.empty()) {
      refuse("no part is left to be heard", "mute fewer of them");
    }
  }

  void read_count_in() {
    const auto bars = parse_integer(trimmed(options_.count_in));
    if (!bars || *bars < 0 || *bars > ExcerptRequest::kMostCountIn) {
      return refuse(fmt::format("--count-in cannot be '{}'", printable(options_.count_in)),
                    fmt::format("write a number of bars, 0 to {}", ExcerptRequest::kMostCountIn));
    }
    passage_.excerpt.count_in = static_cast<int>(*bars);
    if (*bars > 0) passage_.whole = false;
  }

  void read_voice() {
    constexpr std::array<std::string_view, 3> kWords = {"score", "sing", "strings"};
    const auto found = std::ranges::find(kWords, trimmed(options_.voice));
    if (found == kWords.end()) {
      return refuse(fmt::format("--voice cannot be '{}'", printable(options_.voice)),
                    "write " + listed(kWords));
    }
    passage_.voice = static_cast<Voice>(found - kWords.begin());
    if (passage_.voice == Voice::kScore) return;
    passage_.whole = false;
    if (!passage_.excerpt.parts.empty()) {
      refuse("--voice sings the melody alone, so that no part can be chosen beside it",
             "leave out --part and --mute, or --voice");
    } else if (loaded_.bound.melody.empty()) {
      refuse("there is no melody to sing", "give a part the role melody in the plan");
    }
  }

  const PassageOptions& options_;
  const Loaded& loaded_;
  Passage passage_;
  Diagnostics errors_;
};

}  // namespace

void add_span_options(CLI::App& command, PassageOptions& options) {
  command.add_option("--sentence", options.sentence, "only this sentence, as in 2");
  command.add_option("--phrase", options.phrase, "only this phrase, as in 2.1");
  command.add_option("--motif", options.motif, "only this motif, as in 2.1.3");
  command.add_option("--from", options.from, "begin at this bar and beat, as in 9:1");
  command.add_option("--to", options.to, "end before this bar and beat");
}

void add_passage_options(CLI::App& command, PassageOptions& options) {
  add_span_options(command, options);
  command
      .add_option("--tempo", options.tempo,
                  "how fast: a share of the score's tempo, as in 60%, or '72 bpm'")
      ->capture_default_str();
  command.add_option("--part", options.part, "hear this part alone, by its name; may be repeated")
      ->allow_extra_args(false);
  command.add_option("--mute", options.mute, "leave this part out; may be repeated")
      ->allow_extra_args(false);
  command.add_option("--count-in", options.count_in, "bars to count before the music, 0 to 8")
      ->capture_default_str();
  command.add_flag("--click", options.click,
                   "a click on every beat, which bends as the performance does");
  command
      .add_option("--voice", options.voice,
                  "score; or the melody alone, growing between its notes: sing (a choir), strings")
      ->capture_default_str();
}

Result<Passage> passage_of(const PassageOptions& options, const Loaded& loaded) {
  return PassageReader(options, loaded).read();
}

Excerpt perform_passage(const Loaded& loaded, const Passage& passage, Layers layers,
                        const Instrument& instrument) {
  if (passage.voice != Voice::kScore) {
    const auto program = passage.voice == Voice::kChoir ? kChoirProgram : kStringsProgram;
    const Sung sung = sing(loaded.score, loaded.bound, layers, passage.excerpt.span, program);
    return excerpt_of(sung.score, sung.performance, passage.excerpt);
  }
  layers.parts = passage.excerpt.parts;
  Shaped shaped = perform(loaded.score, loaded.bound, layers, instrument);
  return excerpt_of(loaded.score, shaped.performance, passage.excerpt);
}

}  // namespace arsis
