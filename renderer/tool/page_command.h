// `arsis page PLAN -o FILE`: the marked score as a picture to look at and to print.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

#include "tool/layer_options.h"
#include "tool/listening.h"
#include "tool/passage_options.h"

namespace arsis {

struct PageArgs {
  std::string plan;
  std::string output;
  std::string paper = "a4";
  bool landscape = false;
  bool evidence = false;
  std::string staff = "on";
  std::string take;  // a recorded performance to be drawn over the plan's; empty: none
  LayerOptions layers;
  PassageOptions passage;
  ListeningOptions listening;
};

int run_page(const PageArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_page(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
