#include "page/listening_page.h"

#include <fmt/format.h>

#include <iterator>
#include <string_view>

#include "page/html.h"
#include "page/ink.h"
#include "page/listening_files.h"
#include "page/style.h"

namespace arsis {
namespace {

constexpr std::string_view kCaution =
    "Begin at a comfortable level and turn up slowly, above all with headphones; rest your ears "
    "when "
    "you repeat a passage many times.";

template <class... Values>
void put(std::string& html, fmt::format_string<Values...> pattern, Values&&... values) {
  fmt::format_to(std::back_inserter(html), pattern, std::forward<Values>(values)...);
}

void add_head(std::string& html, const ListeningPage& page) {
  put(html,
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src {}; "
      "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"color-scheme\" content=\"light dark\">\n<title>{}</title>\n",
      hash_source(kListeningScriptSum), escaped(page.title));
  put(html, "<style>\n{}</style>\n<style>\n{}</style>\n</head>\n", page_style(), kListeningStyle);
}

void add_voices(std::string& html, const ListeningPage& page) {
  html += "<fieldset class=\"voices\"><legend>hear</legend>\n";
  for (std::size_t i = 0; i < page.voices.size(); ++i) {
    put(html,
        "<label><input type=\"radio\" name=\"voice\" value=\"{}\"{}><span>{}</span></label>\n", i,
        i == page.voice ? " checked" : "", escaped(page.voices[i].label));
  }
  html += "</fieldset>\n";
}

void add_desk(std::string& html, const ListeningPage& page) {
  html +=
      "<section class=\"desk\" aria-label=\"Listening\">\n"
      "<button type=\"button\" id=\"play\">play</button>\n"
      "<button type=\"button\" id=\"loop\" aria-pressed=\"false\">loop this phrase</button>\n";
  add_voices(html, page);
  put(html,
      "<div class=\"slides\">\n<label class=\"slide\">speed <input type=\"range\" id=\"speed\" "
      "min=\"50\" max=\"150\" "
      "step=\"5\" value=\"100\"><output id=\"speed-said\" for=\"speed\">100 %</output></label>\n"
      "<label class=\"slide\">volume <input type=\"range\" id=\"volume\" min=\"0\" max=\"100\" "
      "value=\"70\"></label>\n</div>\n"
      "<p id=\"status\" role=\"status\"></p>\n</section>\n<p class=\"caution\">{}</p>\n",
      kCaution);
}

void add_systems(std::string& html, std::string_view set, std::span<const DrawnSystem> systems) {
  put(html, "<div class=\"systems {}\">\n", set);
  for (const DrawnSystem& system : systems) {
    put(html, "<div class=\"system\">{}</div>\n", system.svg);
  }
  html += "</div>\n";
}

constexpr std::string_view kKeys =
    "<footer><details><summary>Keys</summary><dl class=\"keys\">\n"
    "<dt>space</dt><dd>play, pause</dd>\n"
    "<dt>left, right</dt><dd>the phrase before, the next one (or sentence, or motif, as "
    "chosen)</dd>\n"
    "<dt>tab, then up, down</dt><dd>among the blocks: to the one around it, to the first "
    "inside</dd>\n"
    "<dt>Enter</dt><dd>hear the chosen block from its beginning</dd>\n"
    "<dt>L</dt><dd>loop it</dd>\n"
    "<dt>1 to 9</dt><dd>flat, shaped and so on, at the same place in the music</dd>\n"
    "<dt>+, -</dt><dd>faster, slower</dd>\n"
    "<dt>Esc</dt><dd>no block chosen, no loop</dd>\n"
    "</dl></details></footer>\n";

void add_sounds(std::string& html, const ListeningPage& page) {
  for (const ListeningVoice& voice : page.voices) {
    html += "<script type=\"text/plain\" class=\"sound\">";
    add_base64(html, voice.opus);
    html += "</script>\n";
  }
}

}  // namespace

std::string listening_page(const ListeningPage& page) {
  std::string html;
  add_head(html, page);
  put(html, "<body>\n<header><h1>{}</h1>", escaped(page.title));
  if (!page.subtitle.empty()) put(html, "<p class=\"under\">{}</p>", escaped(page.subtitle));
  html += "</header>\n";
  add_desk(html, page);
  html +=
      "<noscript><p>Without scripts this page is a picture; the sound in it needs "
      "them.</p></noscript>\n<main>\n";
  add_systems(html, "wide", page.wide);
  add_systems(html, "narrow", page.narrow);
  html += "</main>\n";
  html += kKeys;
  put(html, "<script type=\"application/json\" id=\"data\">{}</script>\n", script_safe(page.data));
  add_sounds(html, page);
  put(html, "<script>{}</script>\n</body>\n</html>\n", kListeningScript);
  return html;
}

}  // namespace arsis
