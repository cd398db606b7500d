#include "tool/audition_set.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.h"
#include "tool/exit_code.h"
#include "tool/report.h"
#include "tool/same_score.h"

namespace arsis {
namespace {

class Builder {
 public:
  Builder(const AuditionArgs& args, const Layers& layers, int& code)
      : args_(args), layers_(layers), code_(code) {}

  std::optional<Audition> unchosen() {
    auto prepared = prepare(args_.plan, args_.passage, args_.levels, args_.audio.soundfont, code_);
    if (!prepared) return std::nullopt;
    Audition made{*std::move(prepared), {}, {}, {}, {}, {}};
    made.layers = layers_for(made.plan.loaded, layers_, args_.layers);
    return made;
  }

  std::optional<Audition> build() {
    auto made = unchosen();
    if (!made) return std::nullopt;
    const bool done = args_.against.empty() ? add_readings(*made) : add_other(*made);
    if (!done) return std::nullopt;
    code_ = kDone;
    return made;
  }

 private:
  bool refuse(int code, const Diagnostics& errors) {
    report(errors);
    code_ = code;
    return false;
  }

  bool add_readings(Audition& made) {
    const std::optional<Mains> mains = mains_for(made.loaded());
    if (!mains) {
      return refuse(kInputAtFault, fail({.file = args_.plan}, "has no blocks to be compared",
                                        "write a plan with sentences, or have one drafted"));
    }
    const LedBlock block = block_of(args_.passage);
    const std::size_t count = readings_of(made.loaded().plan, block).size();
    if (count == 1) {
      return refuse(kUsageAtFault,
                    fail({}, fmt::format("{} has a single member, which leads", name_of(block)),
                         "name a block of two members or more"));
    }
    if (count > kMostReadings) {
      return refuse(kUsageAtFault,
                    fail({}, fmt::format("{} has {} readings", name_of(block), count),
                         fmt::format("at most {} are heard in a run: name a smaller block, or "
                                     "write the readings in question as plans, for --against",
                                     kMostReadings)));
    }
    choose_block(made, block, *mains, args_.lead_in);
    return true;
  }

  bool add_other(Audition& made) {
    Span& span = made.plan.passage.excerpt.span;
    PassageOptions words = args_.passage;
    words.sentence = words.phrase = words.motif = words.from = words.to = "";
    words.tempo = fmt::format("{:.9f}%", made.plan.passage.speed * 100.0);
    auto other = prepare(args_.against, words, args_.levels, args_.audio.soundfont, code_);
    if (!other) return false;
    const Diagnostics errors = differing_scores(made.loaded(), other->loaded);
    if (!errors.empty()) return refuse(kInputAtFault, errors);
    made.readings = plans_heard(made.loaded(), other->loaded, span);
    if (args_.lead_in) span = with_lead_in(span, made.loaded().score.bars);
    other->passage.excerpt.span = span;
    made.other = *std::move(other);
    made.passage = passage_name();
    return true;
  }

  std::string passage_name() const {
    const PassageOptions& words = args_.passage;
    const auto named = [](std::string_view kind, const std::string& name) {
      return fmt::format("{} {}", kind, trimmed(name));
    };
    if (!words.motif.empty()) return named("motif", words.motif);
    if (!words.from.empty() || !words.to.empty()) {
      return fmt::format("{} to {}", words.from.empty() ? "the beginning" : words.from,
                         words.to.empty() ? "the end" : words.to);
    }
    return name_of(block_of(words));
  }

  const AuditionArgs& args_;
  Layers layers_;
  int& code_;
};

}  // namespace

Span with_lead_in(Span span, const Bars& bars) {
  const Beats first = bars.all().front().span.begin;
  const Bar& own = bars.at(span.begin);
  if (own.span.begin <= first) return {first, span.end};
  const Bar& before = bars.at(own.span.begin - kSameMoment);
  return {std::max(first, span.begin - before.signature.bar_length()), span.end};
}

void choose_block(Audition& audition, const LedBlock& block, const Mains& mains, bool lead_in) {
  const Loaded& loaded = audition.loaded();
  const BoundPlan& bound = loaded.bound;
  Span& span = audition.plan.passage.excerpt.span;
  if (block.level != Level::kPiece) {
    const Block& sentence = bound.sentences[block.sentence];
    span = block.level == Level::kSentence ? sentence.span
                                           : bound.phrases[sentence.first + block.phrase].span;
  }
  if (lead_in) span = with_lead_in(span, loaded.score.bars);
  audition.block = block;
  audition.passage = name_of(block);
  audition.readings = readings_heard(loaded, block, mains);
}

std::optional<Audition> unchosen_audition(const AuditionArgs& args, const Layers& layers,
                                          int& code) {
  return Builder(args, layers, code).unchosen();
}

std::optional<Audition> audition_of(const AuditionArgs& args, const Layers& layers, int& code) {
  return Builder(args, layers, code).build();
}

}  // namespace arsis
