// Our own plans over their scores, for questions.
#pragma once

#include <gtest/gtest.h>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "lesson/question.h"
#include "plan/plan_reader.h"
#include "smf/score_reader.h"

namespace arsis::test {

class LessonPieces {
 public:
  explicit LessonPieces(const std::vector<std::string>& names) {
    for (const std::string& name : names) add(name);
  }
  std::vector<LessonPiece> pieces() const {
    std::vector<LessonPiece> all;
    for (const auto& each : held_) {
      all.push_back({each->plan, each->score, each->printed, each->bound});
    }
    return all;
  }

 private:
  struct Held {
    Plan plan;
    Score score;
    Printed printed;
    BoundPlan bound;
  };

  void add(const std::string& name) {
    const std::filesystem::path path =
        std::filesystem::path(ARSIS_SOURCE_DIR) / "plans" / (name + ".yaml");
    const Result<Plan> plan = read_plan(path);
    ASSERT_TRUE(plan) << name;
    Result<Score> score = read_score(score_path(*plan));
    ASSERT_TRUE(score) << name;
    auto held = std::make_unique<Held>();
    held->plan = *plan;
    held->score = with_plan_pickup(*std::move(score), *plan);
    const Result<BoundPlan> bound = bind_plan(held->plan, held->score);
    ASSERT_TRUE(bound) << name;
    held->bound = *bound;
    held_.push_back(std::move(held));
  }

  std::vector<std::unique_ptr<Held>> held_;
};

}  // namespace arsis::test
