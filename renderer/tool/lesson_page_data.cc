#include "tool/lesson_page_data.h"

#include <cassert>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tool/script_data.h"

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

Json choice_json(const LessonChoice& choice) {
  return {{"label", choice.label},
          {"map", knots_json(choice.time, choice.moved)},
          {"length", script_number(choice.length)},
          {"systems",
           {{"wide", systems_json(choice.picture)}, {"narrow", systems_json(choice.narrow)}}}};
}

Json item_json(const LessonItem& item, std::string_view sum, std::size_t index) {
  assert(item.choices.size() <= kMostLessonChoices && item.answer < item.choices.size());
  Json choices = Json::array();
  for (const LessonChoice& choice : item.choices) choices.push_back(choice_json(choice));
  return {{"ask", item.ask},
          {"place", item.place},
          {"amount", std::round(item.amount * 1000.0) / 10.0},
          {"begin", script_number(item.begin)},
          {"mark", hidden_answer(sum, index, item.answer, item.choices.size())},
          {"choices", std::move(choices)}};
}

}  // namespace

std::string lesson_page_data(const LessonPage& page) {
  const std::string sum = lesson_sum(page);
  Json items = Json::array();
  for (std::size_t i = 0; i < page.items.size(); ++i) {
    items.push_back(item_json(page.items[i], sum, i));
  }
  return script_text({{"sum", sum}, {"sampleRate", page.sample_rate}, {"items", std::move(items)}});
}

}  // namespace arsis
