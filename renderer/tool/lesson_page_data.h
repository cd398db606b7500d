// What a lesson page's script is told of its questions, as JSON.
#pragma once

#include <string>

#include "page/lesson_page.h"

namespace arsis {

// {sum, sampleRate, items: [{ask, place, amount (percent), begin (beat), mark, choices: [{label,
// map: [second, beat, ...], length, systems: {wide, narrow}}]}]}, to be handed to lesson_page();
// mark is hidden_answer(), systems are as of ListeningPage::data.
// Precondition: the bounds of LessonItem.
std::string lesson_page_data(const LessonPage& page);

}  // namespace arsis
