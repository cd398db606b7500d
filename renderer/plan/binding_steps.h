// The steps of laying a plan over a score, one file each. Only the binder includes this.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "plan/binding.h"
#include "plan/values.h"

namespace arsis {

// What the page prints and the plan leaves in force.
struct PageInForce {
  std::vector<PrintedDynamic> dynamics;
  std::vector<std::uint32_t> marks;     // indices into Printed::marks
  std::vector<std::uint32_t> fermatas;  // and into Printed::fermatas
  std::vector<PrintedBreath> breaths;
};

// What every step reads, writes and complains to.
struct Binder {
  const Plan& plan;
  const Score& score;
  const Printed& printed;
  PlanText text;
  BoundPlan bound;
  PageInForce page;
  std::vector<std::uint16_t>
      plan_part;  // for each score part: the index of its PartPlan, or kNoPart
  std::map<std::string, std::vector<bool>> held_by_name;  // what parts_named() has found so far
  static constexpr std::uint16_t kNoPart = 0xFFFF;

  // The moment of a position, on the score's own ticks; complains where there is none.
  // `as_an_end`: it may be the end of its bar, where nothing begins.
  std::optional<Beats> moment(const WrittenPosition& position, bool as_an_end = false);
  // Why a place in that bar is not in the score: what there is.
  std::string known_places(int bar) const;
  // "9:3", as a musician would write the moment.
  std::string at(Beats moment) const { return to_string(score.bars.position_of(moment)); }
  // For each score part whether the plan part of that name holds it; all of them for "". Complains
  // of an unknown name.
  std::optional<std::vector<bool>> parts_named(const std::string& name, Place place);
};

void bind_parts(Binder& binder);
void bind_blocks(Binder& binder);
void find_goals(Binder& binder);
void question_structure(Binder& binder);
void bind_page(Binder& binder);  // before dynamics and marks
void bind_dynamics(Binder& binder);
void bind_marks(Binder& binder);

}  // namespace arsis
