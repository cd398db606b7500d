// Sheets of questions as a page of HTML.
#include <string>

#include "base/text.h"
#include "page/ink.h"
#include "page/lesson_sheets.h"
#include "page/put.h"
#include "page/style.h"

namespace arsis {
namespace {

constexpr std::string_view kSheetLayout = R"(
body{font-family:"Gentium Book Basic","Gentium Basic","DejaVu Serif",serif;color:#1f1d1a;background:#fff;max-width:190mm;margin:8mm auto;padding:0 6mm;line-height:1.35}
h1{font-weight:normal;margin:0}
.under,.place,.said{font-style:italic;color:#4a4640}
.under{margin:0 0 4mm}
.name{display:flex;gap:3mm;margin:6mm 0}
.name i{flex:3;border-bottom:.3mm solid #57534c}
.name i+span+i{flex:1}
ol{list-style:none;padding:0;margin:6mm 0}
li.question{break-inside:avoid;margin:0 0 8mm}
h2{font-size:1.05em;margin:0 0 1mm;display:flex;gap:3mm}
h2 .place{margin-left:auto;font-weight:normal}
svg{display:block;max-width:100%;height:auto}
ul{list-style:none;padding:0;margin:1mm 0;display:flex;flex-wrap:wrap;gap:1mm 7mm}
.letter{font-weight:bold}
.said{margin:0}
.answers{break-inside:avoid;display:flex;flex-wrap:wrap;gap:1mm 6mm;font-weight:bold}
)";

void add_sheet_head(std::string& html, const QuestionSheet& sheet, Paper paper) {
  put(html,
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
      "'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, "
      "initial-scale=1\">\n<title>{}</title>\n",
      escaped(sheet.title));
  put(html, "<style>\n{}</style>\n<style>\n@page{{size:{} portrait;margin:14mm 12mm}}{}</style>\n",
      page_style(), paper.name == kLetter.name ? "letter" : "A4", kSheetLayout);
  put(html, "</head>\n<body>\n<h1>{}</h1>\n", escaped(sheet.title));
  if (!sheet.subtitle.empty()) put(html, "<p class=\"under\">{}</p>\n", escaped(sheet.subtitle));
  if (sheet.has_name_line) {
    html += "<p class=\"name\"><span>Name</span><i></i><span>Date</span><i></i></p>\n";
  }
  for (const std::string& words : sheet.words) put(html, "<p>{}</p>\n", escaped(words));
}

void add_sheet_question(std::string& html, const SheetQuestion& question) {
  put(html, "<li class=\"question\">\n<h2><span>{}</span><span>{}</span>", escaped(question.number),
      escaped(question.ask));
  if (!question.place.empty())
    put(html, "<span class=\"place\">{}</span>", escaped(question.place));
  html += "</h2>\n";
  for (const DrawnSystem& system : question.picture) html += system.svg + "\n";
  html += "<ul>\n";
  for (std::size_t i = 0; i < question.choices.size(); ++i) {
    put(html, "<li>{} <span class=\"letter\">{}</span> {}</li>\n", question.answer == i ? "☒" : "☐",
        letter_of(i), escaped(question.choices[i]));
  }
  html += "</ul>\n";
  if (!question.remark.empty()) put(html, "<p class=\"said\">{}</p>\n", escaped(question.remark));
  html += "</li>\n";
}

}  // namespace

std::string question_sheet_html(const QuestionSheet& sheet, Paper paper) {
  std::string html;
  add_sheet_head(html, sheet, paper);
  html += "<ol>\n";
  for (const SheetQuestion& question : sheet.questions) add_sheet_question(html, question);
  html += "</ol>\n";
  if (!sheet.answers.empty()) {
    html += "<p class=\"under\">All answers</p>\n<p class=\"answers\">";
    for (const std::string& answer : sheet.answers) put(html, "<span>{}</span> ", escaped(answer));
    html += "</p>\n";
  }
  html += "</body>\n</html>\n";
  return html;
}

}  // namespace arsis
