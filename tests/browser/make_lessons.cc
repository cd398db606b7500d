// Lesson pages whose answers and sounds are known by construction: `make_lessons FOLDER`. Each
// choice sounds a tone of its own, so that a test hears which one plays.
#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "base/files.h"
#include "page/lesson_page.h"
#include "sound/frame_store.h"
#include "sound/opus.h"
#include "tool/lesson_page_data.h"

namespace {

using namespace arsis;

constexpr int kRate = 24'000;
constexpr double kShort = 6.0;  // seconds
constexpr double kLong = 15.0;
constexpr std::size_t kLongSet = 12;  // questions

// Of the choice of an item; listening.mjs knows it as well.
double tone_of(std::size_t item, std::size_t choice) {
  return 300.0 + 90.0 * static_cast<double>(item * 4 + choice);
}

Bytes tone(double hertz, double seconds) {
  FrameStore frames(std::filesystem::temp_directory_path() / "tone");
  std::vector<float> samples;
  for (int i = 0; i < static_cast<int>(seconds * kRate); ++i) {
    const double at = 2.0 * std::numbers::pi * hertz * i / kRate;
    samples.insert(samples.end(), 2, static_cast<float>(0.25 * std::sin(at)));
  }
  if (!frames.add(samples)) return {};
  const auto opus = opus_of(frames, {0.0}, {.sample_rate = kRate, .channels = 1, .kilobits = 24});
  return opus ? *opus : Bytes{};
}

DrawnSystem drawing(const std::string& said, double width) {
  DrawnSystem system;
  system.span = {{4.0}, {12.0}};
  system.svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"30mm\" viewBox=\"0 0 {1} "
      "300\"><text x=\"100\" y=\"150\" font-size=\"40\">{2}</text></svg>",
      width, 10.0 * width, said);
  system.width = {width};
  system.height = {30.0};
  system.waypoints = {{{4.0}, {10.0}}, {{12.0}, {width - 2.0}}};
  return system;
}

// Each choice goes at a tempo of its own, so that the same place is another second.
LessonChoice choice_of(const std::string& label, std::size_t choice, Bytes opus, double seconds) {
  LessonChoice made;
  made.label = label;
  made.opus = std::move(opus);
  made.time = TimeMap(
      {{{0.0}, {0.0}}, {{8.0}, {(seconds - 0.5) * (1.0 - 0.1 * static_cast<double>(choice))}}});
  made.moved = {-4.0};
  made.length = {seconds};
  return made;
}

LessonItem item_of(std::string ask, std::vector<std::string> labels, std::size_t answer,
                   double amount) {
  LessonItem item;
  item.ask = std::move(ask);
  item.place = "Lantern Song, bars 1 to 3";
  item.begin = {4.0};
  item.answer = answer;
  item.amount = amount;
  for (const std::string& label : labels) {
    item.choices.push_back(choice_of(label, item.choices.size(), {}, kShort));
  }
  return item;
}

void add_tones(LessonPage& page) {
  for (std::size_t i = 0; i < page.items.size(); ++i) {
    for (std::size_t k = 0; k < page.items[i].choices.size(); ++k) {
      page.items[i].choices[k].opus = tone(tone_of(i, k), kShort);
    }
  }
}

void add_drawings(LessonPage& page) {
  for (std::size_t i = 0; i < page.items.size(); ++i) {
    page.items[i].notes = {drawing(fmt::format("wide notes of {}", i + 1), 190.0)};
    page.items[i].notes_narrow = {drawing(fmt::format("narrow notes of {}", i + 1), 84.0)};
    for (std::size_t k = 0; k < page.items[i].choices.size(); ++k) {
      LessonChoice& choice = page.items[i].choices[k];
      choice.picture = {drawing(fmt::format("wide picture {} of {}", k + 1, i + 1), 190.0)};
      choice.narrow = {drawing(fmt::format("narrow picture {} of {}", k + 1, i + 1), 84.0)};
    }
  }
}

const std::vector<std::string> kMotifs = {"motif 1", "motif 2", "motif 3"};
const std::vector<std::string> kShapes = {"flat", "shaped"};

LessonPage usual() {
  LessonPage page;
  page.title = "A class that listens";
  page.subtitle = "five questions";
  page.items = {item_of("Which motif leads?", kMotifs, 1, 2.0),
                item_of("Is it flat or shaped?", kShapes, 0, 1.5),
                item_of("Which motif leads?", kMotifs, 2, 1.0),
                item_of("Is it flat or shaped?", kShapes, 1, 0.75),
                item_of("Which motif leads?", kMotifs, 0, 0.5)};
  add_tones(page);
  add_drawings(page);
  return page;
}

LessonPage answered_otherwise(LessonPage page) {
  for (LessonItem& item : page.items) item.answer = (item.answer + 1) % item.choices.size();
  return page;
}

// Every text would be a script or a formula, if something let it.
LessonPage hostile(LessonPage page) {
  const std::string text = "</script><img src=x onerror=\"document.title='taken'\"><!--'&";
  page.title = page.subtitle = text;
  page.items.resize(2);
  page.items[0].ask = "</template>" + text;
  page.items[0].place = "=1+1,\"quoted\"\nand on another line";
  page.items[0].choices[0].label = "@SUM(1)";
  page.items[0].choices[1].label = text + " \xF0\x9F\x8E\xB9 " + std::string(300, 'x');
  page.items[0].choices[2].label = "\xE2\x80\xAE\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D";  // right to left
  page.items[1].choices[0].label = "-flat\xFF";
  return page;
}

// The sound that is asked of the first item, and a wrong choice of the second, are none.
LessonPage broken(LessonPage page) {
  page.items.resize(2);
  page.items[0].choices[page.items[0].answer].opus = {'n', 'o', ' ', 's', 'o', 'u', 'n', 'd'};
  page.items[1].choices[1 - page.items[1].answer].opus.resize(60);
  return page;
}

LessonPage without_questions() {
  LessonPage page;
  page.title = "An empty evening";
  return page;
}

// One question, one drawing for every width.
LessonPage single(LessonPage page) {
  page.items.resize(1);
  page.items[0].notes_narrow.clear();
  for (LessonChoice& choice : page.items[0].choices) choice.narrow.clear();
  return page;
}

LessonPage long_set() {
  LessonPage page;
  page.title = "A long evening";
  std::vector<Bytes> sounds;
  for (std::size_t k = 0; k < 4; ++k) sounds.push_back(tone(tone_of(0, k), kLong));
  for (std::size_t i = 0; i < kLongSet; ++i) {
    LessonItem item =
        item_of("Which level is missing?", {}, i % 4, 2.0 - 0.05 * static_cast<double>(i));
    for (std::size_t k = 0; k < 4; ++k) {
      item.choices.push_back(choice_of(fmt::format("level {}", k + 1), k, sounds[k], kLong));
    }
    page.items.push_back(std::move(item));
  }
  return page;
}

bool write(const std::filesystem::path& folder, const std::string& name, const LessonPage& page) {
  const std::string html = lesson_page(page, lesson_page_data(page));
  const Bytes bytes(html.begin(), html.end());
  return static_cast<bool>(write_file(folder / (name + ".html"), bytes));
}

}  // namespace

int main(int count, char** words) {
  if (count != 2) return 2;
  const std::filesystem::path folder = words[1];
  const LessonPage page = usual();
  const bool done = write(folder, "questions", page) &&
                    write(folder, "answered-otherwise", answered_otherwise(page)) &&
                    write(folder, "hostile-lesson", hostile(page)) &&
                    write(folder, "broken-lesson", broken(page)) &&
                    write(folder, "single-lesson", single(page)) &&
                    write(folder, "long-lesson", long_set()) &&
                    write(folder, "no-questions", without_questions());
  if (!done) std::fputs("the pages could not be written\n", stderr);
  return done ? 0 : 1;
}
