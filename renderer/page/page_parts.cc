#include "page/page_parts.h"

#include "page/html.h"
#include "page/ink.h"
#include "page/put.h"
#include "page/style.h"

namespace arsis {

void add_head(std::string& html, std::string_view title, const PageScript& script) {
  put(html,
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src {}; "
      "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"color-scheme\" content=\"light dark\">\n<title>{}</title>\n",
      hash_source(script.sum), escaped(title));
  put(html, "<style>\n{}</style>\n<style>\n{}</style>\n</head>\n", page_style(), script.style);
}

void add_header(std::string& html, std::string_view title, std::string_view subtitle) {
  put(html, "<header><h1 dir=\"auto\">{}</h1>", escaped(title));
  if (!subtitle.empty()) put(html, "<p class=\"under\" dir=\"auto\">{}</p>", escaped(subtitle));
  html += "</header>\n";
}

void add_volume(std::string& html) {
  html +=
      "<label class=\"slide\">volume <input type=\"range\" id=\"volume\" min=\"0\" max=\"100\" "
      "value=\"70\"></label>\n";
}

void add_caution(std::string& html) { put(html, "<p class=\"caution\">{}</p>\n", kCaution); }

void add_systems(std::string& html, std::string_view set, std::span<const DrawnSystem> systems) {
  put(html, "<div class=\"systems {}\">\n", set);
  for (const DrawnSystem& system : systems) {
    put(html, "<div class=\"system\">{}</div>\n", system.svg);
  }
  html += "</div>\n";
}

void add_sound(std::string& html, std::span<const std::uint8_t> opus) {
  html += "<script type=\"text/plain\" class=\"sound\">";
  add_base64(html, opus);
  html += "</script>\n";
}

void add_data(std::string& html, std::string_view json) {
  put(html, "<script type=\"application/json\" id=\"data\">{}</script>\n", script_safe(json));
}

void add_end(std::string& html, const PageScript& script) {
  put(html, "<script>{}</script>\n</body>\n</html>\n", script.text);
}

}  // namespace arsis
