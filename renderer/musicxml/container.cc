#include "musicxml/container.h"

#include <fmt/format.h>
#include <zip.h>

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <pugixml.hpp>
#include <string_view>

#include "base/text.h"

namespace arsis {
namespace {

constexpr std::size_t kMostIndexBytes = 1u << 20;  // of META-INF/container.xml
constexpr zip_int64_t kMostEntries = 10'000;
constexpr std::string_view kIndex = "META-INF/container.xml";

struct SourceDeleter {
  void operator()(zip_source_t* source) const { zip_source_free(source); }
};
struct ArchiveDeleter {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
struct EntryDeleter {
  void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};
using Archive = std::unique_ptr<zip_t, ArchiveDeleter>;

// `bytes` outlive the archive.
Archive open_archive(const Bytes& bytes) {
  zip_error_t error;
  zip_error_init(&error);
  std::unique_ptr<zip_source_t, SourceDeleter> source(
      zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error));
  Archive archive;
  if (source) {
    archive.reset(zip_open_from_source(source.get(), ZIP_RDONLY | ZIP_CHECKCONS, &error));
    if (archive) static_cast<void>(source.release());  // the archive's now
  }
  zip_error_fini(&error);
  return archive;
}

// What an entry unpacks to, at most `limit` bytes, whatever the container says of its size; none
// where it is not there, damaged or larger.
std::optional<std::string> unpacked(zip_t* archive, const std::string& name, std::size_t limit) {
  const std::unique_ptr<zip_file_t, EntryDeleter> entry(
      zip_fopen(archive, name.c_str(), ZIP_FL_ENC_GUESS));
  if (!entry) return std::nullopt;
  std::string text;
  std::array<char, 65'536> buffer;
  while (true) {
    const zip_int64_t read = zip_fread(entry.get(), buffer.data(), buffer.size());
    if (read < 0) return std::nullopt;
    if (read == 0) return text;
    if (text.size() + static_cast<std::size_t>(read) > limit) return std::nullopt;
    text.append(buffer.data(), static_cast<std::size_t>(read));
  }
}

// The score's name in the container, as its index says; empty where it says none.
std::string indexed_score(zip_t* archive) {
  const auto text = unpacked(archive, std::string(kIndex), kMostIndexBytes);
  if (!text) return {};
  pugi::xml_document index;
  if (!index.load_buffer(text->data(), text->size())) return {};
  // The first root file is the score; others are pictures of it.
  return index.child("container")
      .child("rootfiles")
      .child("rootfile")
      .attribute("full-path")
      .as_string();
}

std::string first_score(zip_t* archive) {
  const zip_int64_t count = std::min(zip_get_num_entries(archive, 0), kMostEntries);
  for (zip_int64_t i = 0; i < count; ++i) {
    const char* name = zip_get_name(archive, static_cast<zip_uint64_t>(i), ZIP_FL_ENC_GUESS);
    if (name == nullptr) continue;
    const std::string lower = lower_case(name);
    if (lower.starts_with("meta-inf/")) continue;
    if (lower.ends_with(".musicxml") || lower.ends_with(".xml")) return name;
  }
  return {};
}

Result<std::string> read_container(const Bytes& bytes, const Where& where) {
  const Archive archive = open_archive(bytes);
  if (!archive) {
    return fail(where, "is a damaged container", "export the score again, or as .musicxml");
  }
  Diagnostics warnings;
  std::string name = indexed_score(archive.get());
  if (name.empty()) {
    name = first_score(archive.get());
    if (name.empty()) {
      return fail(where, "is a container without a score in it", "export the score again");
    }
    warnings.push_back(warning(where, "does not say which of its files is the score",
                               fmt::format("'{}' is taken", printable(name))));
  }
  auto text = unpacked(archive.get(), name, kMostXmlBytes);
  if (!text) {
    return fail(where,
                fmt::format("its score '{}' is missing, damaged, or larger than {} MB",
                            printable(name), kMostXmlBytes >> 20),
                "export the score again, or as .musicxml");
  }
  return {*std::move(text), std::move(warnings)};
}

}  // namespace

Result<std::string> musicxml_text_of(const Bytes& bytes, const std::string& name) {
  // "PK": how every zip file begins.
  const bool is_container = bytes.size() >= 2 && bytes[0] == 'P' && bytes[1] == 'K';
  if (is_container) return read_container(bytes, {.file = name});
  return std::string(bytes.begin(), bytes.end());
}

Result<std::string> read_musicxml_text(const std::filesystem::path& path) {
  const Result<Bytes> bytes = read_file(path, kMostXmlBytes);
  if (!bytes) return bytes.diagnostics();
  return musicxml_text_of(*bytes, path.string());
}

}  // namespace arsis
