#include "page/listening_page.h"

#include <string_view>

#include "page/embedded.h"
#include "page/ink.h"
#include "page/page_parts.h"
#include "page/put.h"

namespace arsis {
namespace {

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
  html +=
      "<div class=\"slides\">\n<label class=\"slide\">speed <input type=\"range\" id=\"speed\" "
      "min=\"50\" max=\"150\" "
      "step=\"5\" value=\"100\"><output id=\"speed-said\" for=\"speed\">100 %</output></label>\n";
  add_volume(html);
  html += "</div>\n<p id=\"status\" role=\"status\"></p>\n</section>\n";
  add_caution(html);
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

}  // namespace

std::string listening_page(const ListeningPage& page) {
  std::string html;
  add_head(html, page.title, kListeningScript);
  html += "<body>\n";
  add_header(html, page.title, page.subtitle);
  add_desk(html, page);
  html +=
      "<noscript><p>Without scripts this page is a picture; the sound in it needs "
      "them.</p></noscript>\n<main>\n";
  add_systems(html, "wide", page.wide);
  add_systems(html, "narrow", page.narrow);
  html += "</main>\n";
  html += kKeys;
  add_data(html, page.data);
  for (const ListeningVoice& voice : page.voices) add_sound(html, voice.opus);
  add_end(html, kListeningScript);
  return html;
}

}  // namespace arsis
