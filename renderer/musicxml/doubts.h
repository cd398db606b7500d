// Warnings about a score: the first of each kind with its place, the others counted.
#pragma once

#include <fmt/format.h>

#include <map>
#include <string>
#include <utility>

#include "base/diagnostic.h"

namespace arsis {

class Doubts {
 public:
  // Doubts of one problem are one kind.
  void add(const Where& where, const std::string& problem, const std::string& remedy) {
    auto [found, is_new] = kinds_.try_emplace(problem, Kind{where, remedy, 0});
    ++found->second.count;
  }

  Diagnostics all() const {
    Diagnostics diagnostics;
    for (const auto& [problem, kind] : kinds_) {
      const std::string more =
          kind.count > 1 ? fmt::format(" ({} more like it)", kind.count - 1) : std::string();
      diagnostics.push_back(warning(kind.where, problem + more, kind.remedy));
    }
    return diagnostics;
  }

 private:
  struct Kind {
    Where where;
    std::string remedy;
    int count = 0;
  };
  std::map<std::string, Kind> kinds_;
};

}  // namespace arsis
