// plans/README.md, held against the reader: its examples are plans, its table is the program's, and
// no key is forgotten.
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "base/text.h"
#include "plan/marks.h"
#include "plan/plan_text.h"

namespace arsis {
namespace {

using test::complaints;

const std::vector<std::string>& readme() {
  static const std::vector<std::string> lines = [] {
    std::ifstream file(ARSIS_SOURCE_DIR "/plans/README.md");
    std::vector<std::string> all;
    for (std::string line; std::getline(file, line);) all.push_back(line);
    return all;
  }();
  return lines;
}

std::string whole_readme() {
  std::string text;
  for (const std::string& line : readme()) text += line + "\n";
  return text;
}

struct Example {
  std::size_t line;
  std::string text;
};

std::vector<Example> examples() {
  std::vector<Example> all;
  bool inside = false;
  for (std::size_t i = 0; i < readme().size(); ++i) {
    const std::string& line = readme()[i];
    if (line == "```yaml") {
      inside = true;
      all.push_back({i + 1, ""});
    } else if (line == "```") {
      inside = false;
    } else if (inside) {
      all.back().text += line + "\n";
    }
  }
  return all;
}

// The example with whatever else a plan must have.
std::string completed(const std::string& example) {
  const auto has = [&](const std::string& key) {
    return example.starts_with(key) || example.find("\n" + key) != std::string::npos;
  };
  std::string plan = example;
  if (!has("arsis:")) plan += "arsis: 1\n";
  if (!has("score:")) plan += "score: a.mid\n";
  if (!has("sentences:")) plan += "sentences: [{phrases: [u /]}]\n";
  return plan;
}

TEST(FormatReadme, HoldsOnlyPlansThatCanBeRead) {
  ASSERT_GE(examples().size(), 8u);
  for (const Example& example : examples()) {
    EXPECT_EQ(complaints(completed(example.text)), std::vector<std::string>{})
        << "the example in line " << example.line;
  }
}

std::string row_of(const ConstantInfo& info) {
  const auto number = [](double value) { return short_number(value); };
  const std::string unit = info.unit.empty() ? "" : " " + std::string(info.unit);
  const std::string key = info.group.empty()
                              ? std::string(info.name)
                              : std::string(info.group) + ": " + std::string(info.name);
  return "| `" + key + "` | " + number(info.initial) + unit + " | " + number(info.least) + " to " +
         number(info.most) + unit + " | " + std::string(info.meaning) + " |";
}

TEST(FormatReadme, ListsEveryNumberAsTheProgramHasIt) {
  const auto head = std::ranges::find(readme(), "| number | starts at | range | meaning |");
  ASSERT_NE(head, readme().end());
  auto line = head + 2;
  for (const ConstantInfo& info : constant_table()) {
    ASSERT_NE(line, readme().end());
    EXPECT_EQ(*line++, row_of(info));
  }
  EXPECT_FALSE(line->starts_with("|")) << "a row that the program does not know: " << *line;
}

// The keys that a map knows, as its complaint about an unknown one lists them.
std::set<std::string> keys_listed(const std::string& plan) {
  std::set<std::string> keys;
  for (const std::string& message : complaints(plan)) {
    const std::size_t at = message.find("its keys are ");
    if (at == std::string::npos) continue;
    std::string list = message.substr(at + std::string("its keys are ").size());
    for (std::size_t i; (i = list.find(" or ")) != std::string::npos;) list.replace(i, 4, ", ");
    std::istringstream words(list);
    for (std::string word; words >> word;) keys.insert(word.substr(0, word.find(',')));
  }
  return keys;
}

TEST(FormatReadme, NamesEveryKeyThatTheReaderKnows) {
  const std::string& up_to = test::kUpToSentences;
  const std::string unknown = "{quite-unlike-any: 1}";
  const std::string plans[] = {test::kWholePlan + "quite-unlike-any: 1\n",
                               test::kWholePlan + "parts: [" + unknown + "]\n",
                               test::kWholePlan + "dynamics: [" + unknown + "]\n",
                               test::kWholePlan + "marks: [" + unknown + "]\n",
                               test::kWholePlan + "marks: " + unknown + "\n",
                               test::kWholePlan + "dynamics: {remove: [" + unknown + "]}\n",
                               test::kWholePlan + "marks: {remove: [" + unknown + "]}\n",
                               test::kWholePlan + "shape: " + unknown + "\n",
                               "motif: " + unknown + "\n",
                               up_to + "sentences: [" + unknown + "]\n",
                               up_to + "sentences: [{phrases: [" + unknown + "]}]\n",
                               up_to + "sentences: [{phrases: [{motifs: [" + unknown + "]}]}]\n"};
  const std::string text = whole_readme();
  for (const std::string& plan : plans) {
    const std::set<std::string> keys = keys_listed(plan);
    EXPECT_GE(keys.size(), 2u) << plan;
    for (const std::string& key : keys) {
      EXPECT_TRUE(text.find("`" + key + "`") != std::string::npos ||
                  text.find("`" + key + ":") != std::string::npos)
          << "'" << key << "' is not explained";
    }
  }
}

TEST(FormatReadme, NamesEveryWord) {
  const std::string text = whole_readme();
  const auto expect_word = [&](std::string_view word) {
    const bool alone = text.find("`" + std::string(word) + "`") != std::string::npos;
    const bool in_a_list = text.find(" " + std::string(word) + " ") != std::string::npos ||
                           text.find("`" + std::string(word) + " ") != std::string::npos ||
                           text.find(" " + std::string(word) + "`") != std::string::npos;
    EXPECT_TRUE(alone || in_a_list) << word;
  };
  std::ranges::for_each(mark_names(), expect_word);
  std::ranges::for_each(dynamic_names(), expect_word);
  std::ranges::for_each(kRoleNames, expect_word);
  std::ranges::for_each(kKeepNames, expect_word);
  std::ranges::for_each(kDiminuendoNames, expect_word);
}

TEST(FormatReadme, AndTheReadyPlansAreWithoutFault) {
  std::size_t count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(ARSIS_SOURCE_DIR "/plans")) {
    if (entry.path().extension() != ".yaml") continue;
    ++count;
    EXPECT_EQ(test::texts_of(read_plan(entry.path()).diagnostics()), std::vector<std::string>{})
        << entry.path();
  }
  EXPECT_GE(count, 4u);
}

}  // namespace
}  // namespace arsis
