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
// A list, which stands for all that the page prints of the kind; or a map of `add` and `remove`,
// which changes that. Nothing at all is as if the key were not there.
void read_dynamics(const YamlNode& node, Plan& plan, PlanText& text);
void read_marks(const YamlNode& node, Plan& plan, PlanText& text);
std::vector<SentencePlan> read_sentences(const YamlNode& node, PlanText& text);

// `level` is that of the block that holds the shape: a block's shape may speak of its own level and
// of those within it.
ShapeOverrides read_shape(const YamlNode& node, Level level, PlanText& text);

}  // namespace arsis
