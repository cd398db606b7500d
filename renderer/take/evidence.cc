#include "take/evidence.h"

#include <algorithm>
#include <map>
#include <optional>

#include "shape/time_grid.h"

namespace arsis {
namespace {

constexpr std::size_t kFewestMoments = 6;  // of a sentence
constexpr double kClosingError = 2.0;      // nobody closes quite as the model does

// Work grows by the square of the one times the other; only of what nobody would call a sentence is
// anything left out.
constexpr std::size_t kMostColumns = 96;
constexpr std::size_t kMostObserved = 800;

// Evenly so many of the rows as are weighed.
template <class Row>
std::vector<Row> thinned(std::span<const Row> rows) {
  const std::size_t step = (rows.size() + kMostObserved - 1) / kMostObserved;
  std::vector<Row> kept;
  for (std::size_t i = 0; i < rows.size(); i += step) kept.push_back(rows[i]);
  return kept;
}

// Those of the stretch that played most of them: across a jump no time can be told.
std::vector<HeardMoment> of_one_stretch(std::span<const HeardMoment> moments) {
  std::map<std::uint32_t, std::size_t> count;
  for (const HeardMoment& moment : moments) ++count[moment.stretch];
  std::vector<HeardMoment> kept;
  if (count.empty()) return kept;
  const auto most = std::ranges::max_element(count, {}, [](const auto& one) { return one.second; });
  for (const HeardMoment& moment : moments) {
    if (moment.stretch == most->first) kept.push_back(moment);
  }
  return kept;
}

std::vector<Choices> choices_in(const BoundPlan& plan, std::uint32_t sentence) {
  std::vector<Choices> all;
  std::size_t column = 0;
  const auto add = [&](Level level, std::uint32_t index, std::uint32_t members) {
    if (level != Level::kMotif && (members < 2 || members > ModelTakes::kMostMembers)) return;
    all.push_back({level, index, members, column});
    column += members + 1;
  };
  const Block& block = plan.sentences[sentence];
  add(Level::kSentence, sentence, block.count);
  for (std::uint32_t p = block.first; p < block.first + block.count; ++p) {
    const Block& phrase = plan.phrases[p];
    add(Level::kPhrase, p, phrase.count);
    for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
      add(Level::kMotif, m, 1);
    }
  }
  if (column > kMostColumns) all.clear();
  return all;
}

class Gatherer {
 public:
  Gatherer(const Score& score, const BoundPlan& plan, const Heard& heard,
           const ModelTakes& model_takes, std::uint32_t sentence)
      : score_(score),
        plan_(plan),
        model_takes_(model_takes),
        span_(plan.sentences[sentence].span),
        closing_(closing_span(score, plan)),
        notes_(thinned(within(heard.melody, span_))),
        under_(thinned(within(heard.others, span_))),
        moments_(of_one_stretch(thinned(within(heard.moments, span_)))) {
    evidence_.blocks = choices_in(plan, sentence);
    if (!evidence_.blocks.empty()) {
      evidence_.columns = evidence_.blocks.back().none_column() + 1;
    }
  }

  SentenceEvidence gather() {
    observe_levels(ArcCue::kLevel, notes_);
    observe_levels(ArcCue::kUnder, under_);
    observe_times();
    for (const Choices& block : evidence_.blocks) {
      const Block& base = plan_.level(block.level)[block.block];
      for (std::uint32_t k = 0; k < block.members; ++k) {
        add_column(model_takes_.led_by(block.level, base, k), base.span);
      }
      add_column(model_takes_.without[index_of(block.level)], base.span);
    }
    return std::move(evidence_);
  }

 private:
  CueEvidence& times() { return evidence_.cues[index_of(ArcCue::kTime)]; }

  // Soft notes err more: a step of the velocity is more decibels there.
  void observe_levels(ArcCue cue, const std::vector<HeardNote>& notes) {
    CueEvidence& evidence = evidence_.cues[index_of(cue)];
    for (const HeardNote& note : notes) {
      evidence.observed.push_back((note.level - model_takes_.base.levels[note.note]).value);
      evidence.notes.push_back(note.note);
      evidence.errors.push_back(note.error);
    }
    std::vector<double>& written = evidence.beside.emplace_back();
    for (const HeardNote& note : notes) {
      written.push_back(model_takes_.flat.levels[note.note].value);
    }
    constexpr std::size_t kMostParts = 8;
    for (std::uint16_t part = 0; part < std::min(plan_.parts.size(), kMostParts); ++part) {
      std::vector<double>& column = evidence.beside.emplace_back();
      for (const HeardNote& note : notes) {
        column.push_back(score_.notes[note.note].part == part ? 1.0 : 0.0);
      }
    }
  }

  void observe_times() {
    if (moments_.size() < kFewestMoments) moments_.clear();
    if (moments_.empty()) return;
    const Seconds first = base(moments_.front().at);
    const Seconds length = base(moments_.back().at) - first;
    pace_ = std::max(0.0, (moments_.back().onset - moments_.front().onset) / length);
    for (const HeardMoment& moment : moments_) {
      const Seconds since = base(moment.at) - first;
      times().observed.push_back((moment.onset - moments_.front().onset - since * pace_).value);
      times().errors.push_back(moment.at > closing_.begin ? kClosingError : 1.0);
    }
    // A tempo that drifts along a parabola, in Legendre's polynomials, which are hardly alike.
    const auto x = [&](const HeardMoment& moment) {
      return 2.0 * ((base(moment.at) - first) / length) - 1.0;
    };
    beside([](const HeardMoment&) { return 1.0; });
    beside(x);
    beside([&](const HeardMoment& moment) { return (3.0 * x(moment) * x(moment) - 1.0) / 2.0; });
    beside([&](const HeardMoment& moment) {
      return (5.0 * x(moment) * x(moment) - 3.0) * x(moment) / 2.0;
    });
    beside([](const HeardMoment& moment) { return moment.leads ? 1.0 : 0.0; });
    add_closing();
    add_fermatas();
  }

  template <class Function>
  void beside(Function of) {
    std::vector<double>& column = times().beside.emplace_back();
    for (const HeardMoment& moment : moments_) column.push_back(of(moment));
  }

  // A closing ritardando that goes further or less far than the model's, or otherwise.
  void add_closing() {
    if (closing_.length() <= kSameMoment || closing_.begin >= span_.end) return;
    const ModelTakes& all = model_takes_;
    beside([&](const HeardMoment& moment) {
      return (all.base.time.seconds_at(moment.at) - all.not_closing.seconds_at(moment.at)).value;
    });
    beside([&](const HeardMoment& moment) {
      return (all.flat.time.seconds_at(moment.at) - all.flat_not_closing.seconds_at(moment.at))
          .value;
    });
    beside([&](const HeardMoment& moment) {
      const double into = std::max(0.0, (moment.at - closing_.begin) / closing_.length());
      return into * into * into;
    });
  }

  void add_fermatas() {
    constexpr std::size_t kMostBeside = 16;
    for (const Fermata& held : plan_.fermatas) {
      if (held.span.end <= span_.begin || held.span.begin >= span_.end) continue;
      if (times().beside.size() >= kMostBeside) break;
      beside([&](const HeardMoment& moment) {
        return std::clamp((moment.at - held.span.begin) / held.span.length(), 0.0, 1.0);
      });
    }
  }

  Seconds base(Beats at) const { return model_takes_.base.time.seconds_at(at); }

  // What another take of the model adds inside the block: to its notes, and, from there on, to all
  // moments.
  void add_column(const ModelTake& other, Span span) {
    for (const auto& [cue, notes] :
         {std::pair(ArcCue::kLevel, &notes_), {ArcCue::kUnder, &under_}}) {
      std::vector<double>& column = evidence_.cues[index_of(cue)].columns.emplace_back();
      for (const HeardNote& note : *notes) {
        const Decibels more = other.levels[note.note] - model_takes_.base.levels[note.note];
        column.push_back(span.holds(note.at) ? more.value : 0.0);
      }
    }
    const auto later = [&](Beats at) { return other.time.seconds_at(at) - base(at); };
    const Seconds before = later(span.begin);
    std::vector<double>& time = times().columns.emplace_back();
    for (const HeardMoment& moment : moments_) {
      const Beats at = std::clamp(moment.at, span.begin, span.end);
      time.push_back(((later(at) - before) * pace_).value);
    }
  }

  const Score& score_;
  const BoundPlan& plan_;
  const ModelTakes& model_takes_;
  Span span_;
  Span closing_;
  std::vector<HeardNote> notes_;
  std::vector<HeardNote> under_;
  std::vector<HeardMoment> moments_;
  double pace_ = 1.0;
  SentenceEvidence evidence_;
};

}  // namespace

SentenceEvidence evidence_of(const Score& score, const BoundPlan& plan, const Heard& heard,
                             const ModelTakes& model_takes, std::size_t sentence) {
  return Gatherer(score, plan, heard, model_takes, static_cast<std::uint32_t>(sentence)).gather();
}

std::optional<double> pace_of(const Score& score, const BoundPlan& plan, const Heard& heard,
                              std::size_t sentence) {
  const Span closing = closing_span(score, plan);
  Span span = plan.sentences[sentence].span;
  if (closing.length() > kSameMoment) span.end = std::min(span.end, closing.begin + kSameMoment);
  const std::vector<HeardMoment> moments = of_one_stretch(within(heard.moments, span));
  if (moments.size() < kFewestMoments) return std::nullopt;
  const double pace = (moments.back().onset - moments.front().onset) /
                      (moments.back().written - moments.front().written);
  if (!(pace > 0.0)) return std::nullopt;
  return pace;
}

}  // namespace arsis
