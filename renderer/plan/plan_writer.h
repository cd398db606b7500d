// Writes a plan as the text of its file, with remarks for those who read it.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"

namespace arsis {

// What stands behind '#', line by line. Any text: what would break a line becomes '?'.
struct PlanRemarks {
  std::vector<std::string> head;                    // above everything
  std::vector<std::string> parts;                   // behind each part; fewer than these: none
  std::string cell;                                 // above `motif:`; empty: none
  std::vector<std::vector<std::string>> sentences;  // above each sentence; fewer than these: none
  std::string main;                                 // above `main:`; empty: none
  std::vector<std::string> tail;                    // below everything
};

// Text that plan_reader.h reads back as the same plan: places in the text apart, positions to a
// billionth of a beat. Short forms wherever they say as much: feet, one line a sentence.
//   plan   has sentences; its texts are what the reader takes: one line of UTF-8, at most 1000
//          bytes; its numbers lie in the reader's ranges
std::string plan_text(const Plan& plan, const PlanRemarks& remarks = {});

// "u / u" where all motifs of the phrase are even ones, else "motifs" one by one in the long form.
std::string phrase_text(const PhrasePlan& phrase);

// A text as YAML has it: in quotes where it needs them.
std::string yaml_text(const std::string& text);

}  // namespace arsis
