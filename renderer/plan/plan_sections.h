// The sections of a plan, each read by one function. Only the plan reader includes this.
#pragma once

#include "plan/plan.h"
#include "plan/values.h"
#include "plan/yaml_tree.h"

namespace arsis {

// "{1: -60 dB, 64: -13 dB, 127: 0 dB}": rising velocities, levels that do not fall, the last one of
// velocity 127. Null where it is at fault.
SharedLevels read_levels(const YamlNode& node, PlanText& text);

std::vector<PartPlan> read_parts(const YamlNode& node, PlanText& text);
std::vector<DynamicPlan> read_dynamics(const YamlNode& node, PlanText& text);
std::vector<MarkPlan> read_marks(const YamlNode& node, PlanText& text);
std::vector<SentencePlan> read_sentences(const YamlNode& node, PlanText& text);

// `level` is that of the block that holds the shape: a block's shape may speak of its own level and
// of those within it.
ShapeOverrides read_shape(const YamlNode& node, Level level, PlanText& text);

}  // namespace arsis
