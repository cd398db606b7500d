// Sentences, phrases and motifs as stretches of the score, one after the other.
#include <fmt/format.h>

#include <algorithm>

#include "plan/binding_steps.h"
#include "plan/cells.h"

namespace arsis {
namespace {

class BlockLayer {
 public:
  explicit BlockLayer(Binder& binder) : binder_(binder) {}

  // Lays all sentences; false as soon as one cannot be placed (the rest would only echo it).
  bool lay() {
    const Plan& plan = binder_.plan;
    for (std::size_t i = 0; i < plan.sentences.size(); ++i) {
      if (!begin_sentence(i) || !lay_sentence(i)) return false;
    }
    take_in_last_bar();
    return true;
  }

 private:
  std::uint32_t tuned(std::uint32_t outer, const ShapeOverrides& shape) {
    if (shape.empty()) return outer;
    binder_.bound.tunings.push_back(overridden(binder_.bound.tunings[outer], shape));
    return static_cast<std::uint32_t>(binder_.bound.tunings.size() - 1);
  }

  // Sets where the sentence begins and the cell it goes on with.
  bool begin_sentence(std::size_t index) {
    const SentencePlan& sentence = binder_.plan.sentences[index];
    const Plan& plan = binder_.plan;
    if (sentence.length) length_ = *sentence.length;
    if (index == 0 && plan.cell) {
      if (!sentence.length) length_ = *plan.cell;
    }
    const std::optional<WrittenPosition> from = sentence.from ? sentence.from
                                                : index == 0  ? plan.cell_from
                                                              : std::nullopt;
    if (index == 0 && !from) {
      binder_.text.refuse(sentence.place, "it is not said where the first motif starts",
                          "add motif: {length: 1 bar, from: 1:1}");
      return false;
    }
    if (from) {
      const std::optional<Beats> moment = binder_.moment(*from);
      if (!moment) return false;
      if (*moment < cursor_ - kSameMoment) {
        binder_.text.refuse(from->place,
                            fmt::format("sentence {} starts at {}, inside sentence {}, which ends "
                                        "at {}",
                                        index + 1, binder_.at(*moment), index, binder_.at(cursor_)),
                            "start it there or later");
        return false;
      }
      cursor_ = *moment;
    }
    if (from || sentence.length || !cells_) {
      if (length_) cells_.emplace(binder_.score.bars, *length_, cursor_);
    }
    return true;
  }

  bool lay_sentence(std::size_t index) {
    BoundPlan& bound = binder_.bound;
    const SentencePlan& written = binder_.plan.sentences[index];
    const SentencePlan& model = written.like ? binder_.plan.sentences[*written.like] : written;
    Block sentence;
    sentence.place = written.place;
    sentence.span.begin = cursor_;
    sentence.first = static_cast<std::uint32_t>(bound.phrases.size());
    sentence.count = static_cast<std::uint32_t>(model.phrases.size());
    sentence.main = sentence.first + static_cast<std::uint32_t>(written.main);
    sentence.tuning = tuned(0, written.shape);
    sentence.is_main = binder_.plan.main == index;
    std::uint32_t model_motif = 0;  // of the bound model, where `like` takes lengths from
    if (written.like) model_motif = bound.phrases[bound.sentences[*written.like].first].first;
    for (std::size_t i = 0; i < model.phrases.size(); ++i) {
      if (!lay_phrase(model.phrases[i], sentence, written.like ? &model_motif : nullptr)) {
        return false;
      }
      bound.phrases.back().is_main = i == written.main;
    }
    sentence.span.end = cursor_;
    bound.sentences.push_back(sentence);
    return true;
  }

  // `model_motif` is null for a phrase that is written out.
  bool lay_phrase(const PhrasePlan& written, const Block& sentence, std::uint32_t* model_motif) {
    BoundPlan& bound = binder_.bound;
    Block phrase;
    phrase.place = model_motif != nullptr ? sentence.place : written.place;
    phrase.span.begin = cursor_;
    phrase.parent = static_cast<std::uint32_t>(bound.sentences.size());
    phrase.first = static_cast<std::uint32_t>(bound.motifs.size());
    phrase.count = static_cast<std::uint32_t>(written.motifs.size());
    phrase.main = phrase.first + static_cast<std::uint32_t>(written.main);
    phrase.tuning =
        model_motif != nullptr ? sentence.tuning : tuned(sentence.tuning, written.shape);
    for (std::size_t i = 0; i < written.motifs.size(); ++i) {
      const MotifPlan& motif = written.motifs[i];
      if (bound.motifs.size() >= kMostMotifs) {
        binder_.text.refuse(phrase.place, "too many motifs",
                            fmt::format("at most {} are read", kMostMotifs));
        return false;
      }
      Block block;
      block.place = model_motif != nullptr ? sentence.place : motif.place;
      block.parent = static_cast<std::uint32_t>(bound.phrases.size());
      block.is_main = i == written.main;
      block.tuning = model_motif != nullptr ? phrase.tuning : tuned(phrase.tuning, motif.shape);
      const std::optional<Beats> end =
          model_motif != nullptr ? end_like(motif, (*model_motif)++) : end_of(motif);
      if (!end || !close(block, *end)) return false;
      bound.motifs.push_back(block);
    }
    phrase.span.end = cursor_;
    bound.phrases.push_back(phrase);
    return true;
  }

  std::optional<Beats> end_of(const MotifPlan& motif) {
    if (motif.to) return binder_.moment(*motif.to, true);
    if (motif.length) {
      Cells once(binder_.score.bars, *motif.length, cursor_);
      return once.end_of(cursor_);
    }
    if (cells_) return cells_->end_of(cursor_);
    binder_.text.refuse(motif.place, "the length of this motif is not said",
                        "add motif: {length: 1 bar, from: 1:1} to the plan, or to: to the motif");
    return std::nullopt;
  }

  // The end of a motif as long as one bound before: even ones follow the cell, the rest their
  // length.
  std::optional<Beats> end_like(const MotifPlan& motif, std::uint32_t model_motif) {
    if (!motif.to) return end_of(motif);
    return cursor_ + binder_.bound.motifs[model_motif].span.length();
  }

  // Gives the block its span and moves on to its end.
  bool close(Block& block, Beats end) {
    const Beats last = binder_.score.bars.all().back().span.end;
    end = binder_.score.snapped(end);
    if (cursor_ >= last - kSameMoment) {
      binder_.text.refuse(
          block.place,
          fmt::format("this motif starts at {}, past the last bar", binder_.at(cursor_)),
          fmt::format("the score ends at {}", binder_.at(last)));
      return false;
    }
    if (end <= cursor_ + kSameMoment) {
      binder_.text.refuse(block.place,
                          fmt::format("this motif would end at {}, at or before its start at {}",
                                      binder_.at(end), binder_.at(cursor_)),
                          "end it later");
      return false;
    }
    block.span = {cursor_, std::min(end, last)};
    cursor_ = block.span.end;
    return true;
  }

  // What is left of the last bar belongs to the last block: a final note held over, an afterbeat.
  void take_in_last_bar() {
    if (binder_.bound.motifs.empty()) return;
    const Bar& bar = binder_.score.bars.all().back();
    if (cursor_ <= bar.span.begin || cursor_ >= bar.span.end) return;
    const bool left_over = std::ranges::any_of(
        binder_.score.notes, [&](const Note& note) { return note.onset >= cursor_; });
    if (!left_over || has_explicit_end()) return;
    BoundPlan& bound = binder_.bound;
    bound.motifs.back().span.end = bar.span.end;
    bound.phrases.back().span.end = bar.span.end;
    bound.sentences.back().span.end = bar.span.end;
  }

  bool has_explicit_end() const {
    const SentencePlan& last = binder_.plan.sentences.back();
    if (last.like) return false;
    const MotifPlan& motif = last.phrases.back().motifs.back();
    return motif.to.has_value() || motif.length.has_value();
  }

  Binder& binder_;
  Beats cursor_;
  std::optional<WrittenLength> length_;
  std::optional<Cells> cells_;
};

}  // namespace

void bind_blocks(Binder& binder) {
  BlockLayer layer(binder);
  if (!layer.lay() || binder.plan.main == std::nullopt) return;
  BoundPlan& bound = binder.bound;
  Block piece;
  piece.span = {bound.sentences.front().span.begin, bound.sentences.back().span.end};
  piece.count = static_cast<std::uint32_t>(bound.sentences.size());
  piece.main = static_cast<std::uint32_t>(*binder.plan.main);
  piece.place = binder.plan.main_place;
  bound.piece.push_back(piece);
}

}  // namespace arsis
