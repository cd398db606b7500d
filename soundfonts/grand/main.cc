// build_grand: puts recorded layers of a piano together as a SoundFont (grand.h). It is run by
// soundfonts/build-grand.sh.
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cstdio>
#include <string>

#include "base/files.h"
#include "grand.h"

namespace {

constexpr std::size_t kLongestCredit = 60'000;  // bytes

void show(double done) {
  static int shown = -1;
  const int percent = static_cast<int>(100.0 * done);
  if (percent == shown) return;
  shown = percent;
  fmt::print(stderr, "\rbuilding {} %{}", percent, done < 1.0 ? "" : "\r\033[K");
}

int report(const arsis::Diagnostics& diagnostics) {
  for (const arsis::Diagnostic& one : diagnostics) {
    fmt::print(stderr, "{}\n", arsis::to_string(one));
  }
  return 1;
}

int run(arsis::GrandRequest request, const std::string& credit) {
  if (!credit.empty()) {
    const arsis::Result<arsis::Bytes> text = arsis::read_file(credit, kLongestCredit);
    if (!text) return report(text.diagnostics());
    request.text.comment.assign(text->begin(), text->end());
    request.text.copyright = request.text.comment.substr(0, request.text.comment.find('\n'));
  }
  if (::isatty(STDERR_FILENO) != 0) request.progress = show;
  const arsis::Result<arsis::GrandReport> built = arsis::build_grand(request);
  if (!built) return report(built.diagnostics());
  fmt::print("  {} samples, {:.0f} s of sound\n", built->samples, built->sound.value);
  fmt::print("  onsets lay {:.1f} to {:.1f} ms into the files and are one now\n",
             1000.0 * built->earliest.value, 1000.0 * built->latest.value);
  fmt::print("  samples were turned up by {:.1f} to {:.1f} dB\n", built->softest.value,
             built->loudest.value);
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App app("Puts recorded layers of a piano together as a SoundFont");
  arsis::GrandRequest request;
  std::string credit;
  app.add_option("layers", request.layers,
                 "folders of samples named by their notes (C4.ogg), the softest layer first")
      ->required();
  app.add_option("-o,--output", request.target, "the SoundFont to write")->required();
  app.add_option("--name", request.text.name, "its name")->default_val("Grand piano");
  app.add_option("--key-off", request.key_off, "a folder of release noises, rel1.ogg to rel88.ogg");
  app.add_option("--credit", credit,
                 "a text file on where the samples are from, stored in the font; its first line is "
                 "the copyright");
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    const int code = app.exit(problem);
    return code == 0 ? 0 : 2;
  }
  if (request.text.name.empty()) request.text.name = "Grand piano";
  return run(std::move(request), credit);
}
