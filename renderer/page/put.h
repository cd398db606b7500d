// Writing HTML piece by piece. Inside of page/ only.
#pragma once

#include <fmt/format.h>

#include <iterator>
#include <string>
#include <utility>

namespace arsis {

// Adds the pattern with the values in it, as they are: what is not ours is escaped() before.
template <class... Values>
void put(std::string& html, fmt::format_string<Values...> pattern, Values&&... values) {
  fmt::format_to(std::back_inserter(html), pattern, std::forward<Values>(values)...);
}

}  // namespace arsis
