#include "page/style.h"

#include <fmt/format.h>

#include <array>

#include "base/text.h"

namespace arsis {
namespace {

constexpr std::string_view kEllipsis = "…";
constexpr double kBolder = 1.13;  // ratio: bold type to plain, the widest letters apart

struct TextStyle {
  std::string_view name;
  double size = 2.0;  // in millimetres
  double leading = 3.0;
  bool bold = false;
  bool italic = false;
  std::string_view ink;
};

// In the order of TextKind. The inks are greys with a little warmth, so that they print as they are
// on any printer.
constexpr std::string_view kBlack = "#1f1d1a";
constexpr std::string_view kDark = "#4a4640";
constexpr std::string_view kGrey = "#6f6a62";
constexpr std::array<TextStyle, 19> kTexts = {{
    {"title", 6.4, 7.6, false, false, kBlack},
    {"subtitle", 2.9, 3.8, false, true, kDark},
    {"running", 2.7, 3.4, false, true, kDark},
    {"folio", 2.7, 3.4, false, false, kDark},
    {"name", 3.0, 3.6, true, false, kBlack},
    {"name", 2.5, 3.0, false, false, kDark},
    {"name", 2.1, 2.6, false, false, kGrey},
    {"bar-number", 2.3, 2.8, false, true, kGrey},
    {"signature", 2.5, 2.8, true, false, kDark},
    {"signature great", 5.2, 4.4, true, false, kBlack},
    {"dynamic", 3.7, 4.0, true, true, kBlack},
    {"held", 2.9, 4.0, false, true, kGrey},
    {"sign-word", 2.6, 3.0, true, true, kDark},
    {"scale", 2.0, 2.6, false, false, kGrey},
    {"tempo-mark", 2.4, 3.0, false, false, kDark},
    {"remark", 2.6, 3.4, false, false, kDark},
    {"legend", 2.2, 2.9, false, false, kGrey},
    {"ask", 3.5, 4.6, true, false, kBlack},
    {"answer", 3.2, 4.8, false, false, kBlack},
}};

const TextStyle& text_style(TextKind kind) { return kTexts[static_cast<std::size_t>(kind)]; }

// Hundredths of an em, from the blank (32) to the tilde (126): the widest of DejaVu Serif 2.37 and
// Gentium Book Basic 1.102, upright and italic, read from their advance widths.
constexpr std::array<std::uint8_t, 95> kAdvances = {
    32, 41, 46, 84, 64, 96, 90, 28,  40, 40, 50, 84, 32, 35,  32, 48, 64, 64,  64,
    64, 64, 64, 64, 64, 64, 64, 34,  34, 84, 84, 84, 54, 100, 73, 74, 77, 81,  73,
    70, 80, 88, 40, 41, 75, 67, 103, 88, 82, 68, 82, 76, 69,  67, 85, 73, 103, 72,
    67, 70, 40, 47, 40, 84, 50, 50,  60, 65, 57, 65, 60, 38,  65, 65, 32, 32,  61,
    32, 95, 65, 61, 65, 65, 48, 52,  41, 65, 57, 86, 57, 57,  53, 64, 34, 64,  84};

// Of the letter that starts there; 0 within one.
double advance(unsigned char byte) {
  if (byte >= 0x20 && byte < 0x7F) return kAdvances[byte - 0x20] / 100.0;
  return (byte & 0xC0U) == 0x80U ? 0.0 : 1.0;
}

// Strokes and fills: class list, then what it looks like. Widths in tenths of a millimetre.
constexpr std::string_view kShapes = R"(
.touch,.curve,.foot,.divider,.drop,.line,.octave,.bar,.beat,.tail,.head,.ceiling-line,.other-ceiling,.hairpin,.level,.level-line,.tempo,.written-tempo,.key{fill:none;stroke-linecap:round;stroke-linejoin:round}
.touch{stroke:none;pointer-events:all}
.sentence .curve{stroke:#1f1d1a;stroke-width:2.6}
.sentence.main .curve{stroke-width:6.2}
.phrase .curve{stroke:#3d3a45;stroke-width:2.2}
.phrase.main .curve{stroke-width:5.6}
.motif .curve{stroke:#57534c;stroke-width:1.8}
.motif.main .curve{stroke-width:4.4}
.goal{fill:#1f1d1a}
.foot{stroke:#57534c;stroke-width:2.4}
.main .foot{stroke:#1f1d1a;stroke-width:5}
.divider{stroke:#6f6a62;stroke-width:1.4}
.sentence .divider{stroke:#1f1d1a;stroke-width:2.4}
.drop{stroke:#6f6a62;stroke-width:1.1;stroke-dasharray:.1 5}
.line{stroke:#d8d3ca;stroke-width:1}
.octave{stroke:#c9c4ba;stroke-width:1.2;stroke-dasharray:.1 8}
.bar{stroke:#8f897f;stroke-width:1.6}
.bar.faint{stroke:#d3cec5;stroke-width:1.2}
.bar.last{stroke:#1f1d1a;stroke-width:5;stroke-linecap:butt}
.beat{stroke:#a8a297;stroke-width:1.2}
.tail{stroke:#857f75;stroke-width:2.2}
.head{stroke:#857f75;stroke-width:7.5}
.melody.tail{stroke:#1f1d1a;stroke-width:4}
.melody.head{stroke:#1f1d1a;stroke-width:12}
.drum{fill:none;stroke:#57534c;stroke-width:1.8;stroke-linecap:round}
.sign{fill:none;stroke:#3d3a45;stroke-width:2;stroke-linecap:round;stroke-linejoin:round}
.sign.dot{stroke-width:5}
.ceiling{fill:#efebe3;stroke:none}
.ceiling-line{stroke:#57534c;stroke-width:2.6}
.other-ceiling{stroke:#857f75;stroke-width:1.8;stroke-dasharray:8 6}
.hairpin{stroke:#1f1d1a;stroke-width:1.9}
.level{stroke:#1f1d1a;stroke-width:9}
.level.accompaniment{stroke:#a39c90;stroke-width:2}
.level-line{stroke:#1f1d1a;stroke-width:2}
.beyond{fill:#fff;fill-opacity:.62;stroke:none}
.tempo{stroke:#1f1d1a;stroke-width:2.6}
.written-tempo{stroke:#a8a297;stroke-width:1.2;stroke-dasharray:.1 5}
.level-line.second,.tempo.second{stroke:#57534c;stroke-width:2.4;stroke-dasharray:11 7}
.key{stroke:#6f6a62;stroke-width:2}
.tick{fill:none;stroke:#1f1d1a;stroke-width:2.4}
.rule,.reach{fill:none;stroke:#57534c;stroke-width:2}
)";

}  // namespace

std::string_view class_of(TextKind kind) { return text_style(kind).name; }

Millimetres leading(TextKind kind) { return {text_style(kind).leading}; }

Millimetres cap_height(TextKind kind) { return {text_style(kind).size * 0.7}; }

Millimetres text_width(std::string_view text, TextKind kind) {
  const TextStyle& style = text_style(kind);
  double ems = 0.0;
  for (const char letter : text) ems += advance(static_cast<unsigned char>(letter));
  return {ems * style.size * (style.bold ? kBolder : 1.0)};
}

std::string fitted(std::string_view text, TextKind kind, Millimetres width) {
  if (text_width(text, kind) <= width) return std::string(text);
  const Millimetres room = width - text_width(kEllipsis, kind);
  Millimetres used;
  std::size_t end = 0;
  while (end < text.size()) {
    std::size_t next = end + 1;
    while (next < text.size() && (static_cast<unsigned char>(text[next]) & 0xC0U) == 0x80U) ++next;
    used += text_width(text.substr(end, next - end), kind);
    if (used > room) break;
    end = next;
  }
  return std::string(text.substr(0, end)) + std::string(kEllipsis);
}

std::string page_style() {
  std::string style =
      "text{font-family:\"Gentium Book Basic\",\"Gentium Basic\",\"DejaVu Serif\",serif}\n"
      "svg{background:none}";
  style += kShapes;
  constexpr std::array<std::string_view, kTexts.size()> kSelectors = {
      ".title",        ".subtitle",    ".running",    ".folio",     ".sentence .name",
      ".phrase .name", ".motif .name", ".bar-number", ".signature", ".signature.great",
      ".dynamic",      ".held",        ".sign-word",  ".scale",     ".tempo-mark",
      ".remark",       ".legend",      ".ask",        ".answer"};
  for (std::size_t i = 0; i < kTexts.size(); ++i) {
    const TextStyle& text = kTexts[i];
    style += fmt::format(
        "{}{{font-size:{}px;fill:{}{}{}}}\n", kSelectors[i], short_number(text.size * 10.0, 1),
        text.ink, text.bold ? ";font-weight:bold" : "", text.italic ? ";font-style:italic" : "");
  }
  return style;
}

}  // namespace arsis
