// Phrases of our own with the evidence in them: notes and a plan's lines as text, the blocks of the
// plan as the structure whose mains are to be chosen.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "draft/mains.h"
#include "plan/plan_reader.h"
#include "score_builder.h"

namespace arsis::test {

// A score with what is printed over it, and its blocks; keeps what Material refers to.
struct Excerpt {
  Score score;
  BoundPlan bound;
  Printed printed;
  Structure structure;

  Material material() const { return {score, bound, printed}; }
  Surface surface() const { return surface_of(material()); }
  Mains mains() const { return choose_mains(material(), structure); }
  // What a feature says of the members of the first phrase.
  std::vector<Candidate> candidates() const { return mains().phrases.at(0).candidates; }
};

// `lines` are a plan's: sentences, motif, dynamics, marks. The first part is the melody. A test
// whose plan is at fault must not go on.
inline Excerpt excerpt(Score score, const std::string& lines) {
  std::string text = "arsis: 1\nscore: x.mid\nparts:\n";
  for (std::size_t i = 0; i < score.parts.size(); ++i) {
    text += "  - {name: p" + std::to_string(i + 1) + ", track: " + std::to_string(i + 1) +
            ", role: " + (i == 0 ? "melody" : "accompaniment") + "}\n";
  }
  const Result<Plan> plan = parse_plan(text + lines, "p.yaml");
  if (!plan) throw std::invalid_argument(to_string(plan.diagnostics().front()));
  Result<BoundPlan> bound = bind_plan(*plan, score);
  if (!bound) throw std::invalid_argument(to_string(bound.diagnostics().front()));
  Structure structure = structure_of(*bound);
  return {std::move(score), *std::move(bound), {}, std::move(structure)};
}

// A melody in 4/4, alone or over a left hand.
inline Excerpt phrase(const std::string& melody, const std::string& lines,
                      const std::string& left = {}) {
  ScoreText text;
  text.parts.push_back(melody);
  if (!left.empty()) text.parts.push_back(left);
  return excerpt(score_of(text), lines);
}

inline const std::string kTwoBars =
    "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}]\n";
inline const std::string kThreeBars =
    "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u u /]}]\n";

inline double score_of_member(const Excerpt& music, Feature feature, std::size_t member) {
  return music.candidates().at(member).of(feature).score;
}
inline std::string words_of_member(const Excerpt& music, Feature feature, std::size_t member) {
  return music.candidates().at(member).of(feature).words;
}

}  // namespace arsis::test
