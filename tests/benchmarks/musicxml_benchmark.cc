// How long a MusicXML file takes to read, over scores of 10^4 to 10^6 notes as an exporter writes
// them. Figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <string>

#include "musicxml/page_reader.h"
#include "musicxml/score_reader.h"
#include "musicxml/xml_document.h"

namespace arsis {
namespace {

constexpr int kNotesPerBar = 16;  // eighths in both staves, 4/4

std::string note(int i, int staff) {
  const int degree = (i * 5 + i / 8 * 3) % 7;
  const bool marked = i % 4 == 0;
  return fmt::format(
      "      <note default-x=\"{}\" default-y=\"-20\">\n        <pitch>\n          "
      "<step>{}</step>\n"
      "          <octave>{}</octave>\n        </pitch>\n        <duration>240</duration>\n"
      "        <voice>{}</voice>\n        <type>eighth</type>\n        <stem>up</stem>\n"
      "        <staff>{}</staff>\n        <beam number=\"1\">begin</beam>\n{}      </note>\n",
      i % 8 * 40, "CDEFGAB"[degree], staff == 1 ? 5 : 3, staff == 1 ? 1 : 5, staff,
      marked ? "        <notations>\n          <slur type=\"start\" number=\"1\"/>\n"
               "          <articulations><tenuto/></articulations>\n        </notations>\n"
             : "");
}

std::string score_of(int notes) {
  std::string text =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">\n"
      "  <part-list>\n    <score-part id=\"P1\"><part-name>Piano</part-name></score-part>\n"
      "  </part-list>\n  <part id=\"P1\">\n";
  for (int bar = 0; bar < notes / kNotesPerBar; ++bar) {
    text += fmt::format("    <measure number=\"{}\">\n", bar + 1);
    if (bar == 0) {
      text +=
          "      <attributes><divisions>480</divisions><time><beats>4</beats>"
          "<beat-type>4</beat-type></time><staves>2</staves></attributes>\n";
    }
    text += fmt::format(
        "      <direction placement=\"below\"><direction-type><dynamics><{}/></dynamics>"
        "</direction-type><staff>1</staff></direction>\n",
        bar % 2 == 0 ? "p" : "f");
    for (int i = 0; i < 8; ++i) text += note(bar * 8 + i, 1);
    text += "      <backup>\n        <duration>1920</duration>\n      </backup>\n";
    for (int i = 0; i < 8; ++i) text += note(bar * 8 + i, 2);
    text += "    </measure>\n";
  }
  return text + "  </part>\n</score-partwise>\n";
}

void BM_ReadMusicXml(benchmark::State& state) {
  const std::string text = score_of(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const Result<XmlDocument> document = XmlDocument::parse(text, "b.musicxml");
    const Result<Page> page = read_page(*document);
    benchmark::DoNotOptimize(played_score(*page, "b.musicxml"));
  }
  state.counters["megabytes"] = static_cast<double>(text.size()) / 1e6;
  state.counters["per_note"] = benchmark::Counter(
      static_cast<double>(state.range(0)) * static_cast<double>(state.iterations()),
      benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

BENCHMARK(BM_ReadMusicXml)->Arg(10'000)->Arg(100'000)->Arg(500'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
