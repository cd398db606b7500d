// What a plan says, as one text in which two plans that say the same are the same: places in files
// apart, positions to a billionth of a beat.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "plan/plan.h"

namespace arsis::test {

inline std::string said(const WrittenPosition& at) {
  return fmt::format("{}:{:.9f}/{}", at.position.bar, at.position.beat, at.position.pass);
}
inline std::string said(const WrittenLength& length) {
  return fmt::format("{} {}", length.number, static_cast<int>(length.unit));
}
inline std::string said(const std::string& text) { return "'" + text + "'"; }
inline std::string said(Decibels level) { return fmt::format("{:.9f} dB", level.value); }
inline std::string said(std::size_t number) { return fmt::format("{}", number); }
inline std::string said(int number) { return fmt::format("{}", number); }
inline std::string said(bool yes) { return yes ? "yes" : "no"; }
inline std::string said(Mark mark) { return fmt::format("mark {}", static_cast<int>(mark)); }
template <class Value>
std::string said(const std::optional<Value>& value) {
  return value ? said(*value) : "none";
}

inline std::string said(const SharedLevels& levels) {
  std::string text = "levels";
  if (levels == nullptr) return text;
  for (const LevelPoint& point : levels->keys().front().points) {
    text += fmt::format(" {}={:.9f}", point.velocity.value(), point.level.value);
  }
  return text;
}

inline std::string said(const ShapeOverrides& shape) {
  auto constants = shape.constants;
  std::ranges::sort(constants);
  std::string text = "shape";
  for (const auto& [constant, value] : constants) {
    text += fmt::format(" {}={:.9f}", static_cast<int>(constant), value);
  }
  if (shape.diminuendo) text += fmt::format(" dim {}", static_cast<int>(*shape.diminuendo));
  if (shape.keep) text += fmt::format(" keep {}", static_cast<int>(*shape.keep));
  return text;
}

inline std::string said(const Plan& plan) {
  std::string text = said(plan.title) + said(plan.score) + said(plan.pickup) + said(plan.levels);
  for (const PartPlan& part : plan.parts) {
    text += fmt::format("\npart {} {} {} {} {} {} {}", said(part.name), said(part.track),
                        said(part.channel), static_cast<int>(part.hand),
                        static_cast<int>(part.role), said(part.balance), said(part.levels));
  }
  for (const DynamicPlan& dynamic : plan.dynamics) {
    text += fmt::format("\ndynamic {} {} {} {} {}", said(dynamic.from), said(dynamic.to),
                        said(dynamic.rises), said(dynamic.step), said(dynamic.part));
  }
  for (const MarkPlan& mark : plan.marks) {
    text += fmt::format("\n{} {} {} {}", said(mark.mark), said(mark.from), said(mark.to),
                        said(mark.part));
  }
  for (const PageChanges* page : {&plan.page_dynamics, &plan.page_marks}) {
    text += "\npage " + said(page->all_replaced);
    for (const RemovePlan& removed : page->removed) {
      text += fmt::format("\nremove {} {} {} {} {} {}", said(removed.from), said(removed.to),
                          said(removed.step), said(removed.rises), said(removed.mark),
                          said(removed.part));
    }
  }
  text += fmt::format("\ncell {} {}", said(plan.cell), said(plan.cell_from));
  for (const SentencePlan& sentence : plan.sentences) {
    text += fmt::format("\nsentence {} {} {} {} {}", said(sentence.like), said(sentence.main),
                        said(sentence.from), said(sentence.length), said(sentence.shape));
    for (const PhrasePlan& phrase : sentence.phrases) {
      text += fmt::format("\n  phrase {} {}", said(phrase.main), said(phrase.shape));
      for (const MotifPlan& motif : phrase.motifs) {
        text += fmt::format("\n    motif {} {} {} {}", said(motif.to), said(motif.length),
                            said(motif.goal), said(motif.shape));
      }
    }
  }
  return text + fmt::format("\nmain {}\n{}", said(plan.main), said(plan.shape));
}

}  // namespace arsis::test
