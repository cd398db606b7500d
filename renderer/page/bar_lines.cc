// What counts time: bar lines, beats, bar numbers, time signatures.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "page/canvas.h"

namespace arsis {
namespace {

constexpr Millimetres kBesideBar{0.6};
constexpr Millimetres kTick{0.9};
constexpr Millimetres kClosestBeats{1.2};  // nearer beats are not marked
constexpr Millimetres kClosestBars{0.4};

class BarLines {
 public:
  BarLines(Canvas& canvas, Row field, Row numbers, Row under)
      : canvas_(canvas), field_(field), numbers_(numbers), under_(under) {}

  void draw() {
    const auto bars = canvas_.picture.score.bars.all();
    auto bar = std::ranges::upper_bound(bars, canvas_.span.begin, {},
                                        [](const Bar& each) { return each.span.begin; });
    if (bar != bars.begin()) --bar;
    if (canvas_.field == nullptr) draw_first_signature(bars, bar);
    for (; bar != bars.end() && bar->span.begin < canvas_.span.end - kSameMoment; ++bar) {
      if (bar->span.begin > canvas_.span.begin - kSameMoment) draw_bar(bars, bar);
      if (canvas_.field == nullptr) draw_beats(*bar);
    }
    if (canvas_.field != nullptr) return;  // it has bar lines of its own
    const bool ends =
        !bars.empty() && canvas_.picture.score.end() <= canvas_.span.end + kSameMoment;
    const Millimetres right = canvas_.right();
    canvas_.ink.line(ends ? "bar last" : "bar", {right, field_.top}, {right, field_.bottom()});
  }

 private:
  using BarPlace = std::span<const Bar>::iterator;

  static std::string text_of(TimeSignature signature) {
    return fmt::format("{}/{}", signature.beats, signature.beat_unit);
  }

  // The signature in force, in the margin, where the line is the first or a new one begins it.
  void draw_first_signature(std::span<const Bar> bars, BarPlace bar) {
    const bool is_new = bar != bars.begin() && std::prev(bar)->signature != bar->signature &&
                        same_moment(bar->span.begin, canvas_.span.begin);
    if (canvas_.span.begin > kSameMoment && !is_new) return;
    const Millimetres x = canvas_.left() - Millimetres{6.6};
    const Millimetres middle = field_.top + field_.height / 2.0;
    canvas_.ink.words(TextKind::kGreatSignature, {x, middle - Millimetres{0.5}},
                      std::to_string(bar->signature.beats), Anchor::kMiddle);
    canvas_.ink.words(TextKind::kGreatSignature,
                      {x, middle + cap_height(TextKind::kGreatSignature) + Millimetres{0.5}},
                      std::to_string(bar->signature.beat_unit), Anchor::kMiddle);
  }

  void draw_bar(std::span<const Bar> bars, BarPlace bar) {
    const Millimetres x = canvas_.axis.x_at(bar->span.begin);
    if (x - last_bar_ >= kClosestBars) {
      canvas_.ink.line("bar faint", {x, under_.top}, {x, under_.bottom()});
      if (canvas_.field == nullptr) {
        canvas_.ink.line("bar", {x, field_.top}, {x, field_.bottom()});
      }
      last_bar_ = x;
    }
    const bool changes = bar != bars.begin() && std::prev(bar)->signature != bar->signature &&
                         std::prev(bar)->number > 0 && bar->span.begin > canvas_.span.begin;
    const std::string number = std::to_string(bar->number);
    const std::string signature = changes ? text_of(bar->signature) : std::string();
    const Millimetres width = text_width(number, TextKind::kBarNumber) + kBesideBar +
                              text_width(signature, TextKind::kSignature);
    const Millimetres y = numbers_.top + cap_height(TextKind::kSignature) + Millimetres{0.6};
    if (x < words_end_ || x + width + kBesideBar > canvas_.right()) return;
    canvas_.ink.words(TextKind::kBarNumber, {x + kBesideBar, y}, number);
    if (changes) {
      canvas_.ink.words(TextKind::kSignature,
                        {x + kBesideBar * 2.0 + text_width(number, TextKind::kBarNumber), y},
                        signature);
    }
    words_end_ = x + width + kBesideBar * 2.0;
  }

  void draw_beats(const Bar& bar) {
    const Beats beat = bar.signature.beat_length();
    if (canvas_.axis.x_at(bar.downbeat + beat) - canvas_.axis.x_at(bar.downbeat) < kClosestBeats &&
        canvas_.axis.x_at(bar.span.end) - canvas_.axis.x_at(bar.span.begin) <
            kClosestBeats * (bar.span.length() / beat)) {
      return;
    }
    std::string data;
    for (int i = 1; i < bar.signature.beats; ++i) {
      const Beats at = bar.downbeat + beat * static_cast<double>(i);
      if (at <= canvas_.span.begin || at <= bar.span.begin) continue;
      if (at >= bar.span.end - kSameMoment || at >= canvas_.span.end - kSameMoment) break;
      const Millimetres x = canvas_.axis.x_at(at);
      add_move(data, {x, field_.bottom() - kTick});
      add_line(data, {x, field_.bottom()});
    }
    canvas_.ink.path_data("beat", data);
  }

  Canvas& canvas_;
  Row field_;
  Row numbers_;
  Row under_;
  Millimetres last_bar_{-100.0};
  Millimetres words_end_{-100.0};
};

}  // namespace

void draw_bars(Canvas& canvas, Row field, Row numbers, Row under) {
  BarLines(canvas, field, numbers, under).draw();
}

}  // namespace arsis
