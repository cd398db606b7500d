// A draft as JSON for programs. plans/README.md documents it.
#pragma once

#include <string>

#include "draft/draft.h"

namespace arsis {

std::string draft_json(const Draft& draft);

}  // namespace arsis
