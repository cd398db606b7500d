// The lesson page: one HTML file that asks the questions of an ear-training set, plays them, takes
// the answers and scores them, with the sounds, the pictures and the script inside. It asks nothing
// of a network and works from the disk.
//
// The page scores itself, so it holds the answers. Before a question is answered nothing that is
// shown, read out or laid out depends on its answer: the sounds and pictures of all choices stand
// in the file in the order of the choices, and which one is asked is a number of the data, mixed
// with the set's sum. That keeps an answer from being read by the way; it keeps nobody out who
// wants to know.
//
// What the page's script finds in it (lesson/lesson.js):
//   #data      JSON: lesson_page_data() (tool/lesson_page_data.h)
//   .sound     for each choice its Opus file in base64, item after item
//   .notes     for each item a <template> with .systems.wide and .systems.narrow, empty or not
//   .drawing   for each choice a <template> likewise
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/files.h"
#include "base/units.h"
#include "page/system.h"
#include "score/time_map.h"

namespace arsis {

// One way in which a passage may be played.
struct LessonChoice {
  std::string label;  // "motif 1", "flat": any bytes
  Bytes opus;         // an Ogg Opus file: the passage so played. The choices of an item should be
                      // equally long and loud: nothing here makes them so.
  // How it goes through the score, so that a change of choice keeps the place.
  TimeMap time;    // of the excerpt's beats to seconds of the sound
  Beats moved;     // added to a beat of the score gives that of the excerpt
  Seconds length;  // of the sound
  // As it is drawn if this is what is heard; shown once the question is answered. Either may be
  // empty: without `narrow` a phone scrolls `picture` sideways, without both nothing is shown.
  std::vector<DrawnSystem> picture;  // for a screen
  std::vector<DrawnSystem> narrow;   // for a phone: about 84 mm wide
};

struct LessonItem {
  std::string ask;    // "Which motif leads?": any bytes. Items with the same words are of one kind.
  std::string place;  // "Lantern Song, bars 5 to 8": any bytes; empty: not told
  Beats begin;        // of the score: where it is played from
  std::vector<LessonChoice> choices;  // 1..kMostLessonChoices
  std::size_t answer = 0;             // index of the choice that is heard
  double amount = 1.0;                // ratio 0..2, as Layers::amount: how plain it is to hear
  // The passage as it is shown before the answer, and therefore the same whatever that is; either
  // may be empty, as of LessonChoice. No cursor goes through it: where one lingers would tell.
  std::vector<DrawnSystem> notes;
  std::vector<DrawnSystem> notes_narrow;
};

inline constexpr std::size_t kMostLessonChoices = 9;  // one key of the keyboard each

struct LessonPage {
  std::string title;     // any bytes; empty: "Listening questions"
  std::string subtitle;  // any bytes; empty: none
  std::vector<LessonItem> items;
  int sample_rate = 24'000;  // of the sounds, frames a second
};

// The whole file. Everything in it that is not ours is escaped, and a Content-Security-Policy lets
// nothing but the page's own script run. The same page gives the same bytes. Without items it says
// that there are no questions.
//   data  of the same page
std::string lesson_page(const LessonPage& page, std::string_view data);

// The sum of a set, 16 hexadecimal digits: of its texts, amounts, answers and sounds. What a
// student has done is kept under it. check_sum() of base/check_sum.h, texts and lists with their
// lengths before them.
std::string lesson_sum(const LessonPage& page);

// The answer as the data have it: (answer + h) mod choices, h being the upper 16 bits of the 32-bit
// FNV-1a sum of "<set's sum>:<item>". Modest on purpose.
//   answer  below `choices`
std::size_t hidden_answer(std::string_view sum, std::size_t item, std::size_t answer,
                          std::size_t choices);

}  // namespace arsis
