#include "page/printing.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>
#include <librsvg/rsvg.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kPointsPerMillimetre = 72.0 / 25.4;
// A PDF carries when it was made; ours does not tell, so that same input gives same bytes.
constexpr const char* kNoDate = "2000-01-01T00:00:00Z";
constexpr std::size_t kLongestTitle = 1000;

struct Freed {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
  void operator()(GError* error) const { g_error_free(error); }
};
template <class Handle>
using Owned = std::unique_ptr<Handle, Freed>;

// cairo's way to hand over what it writes.
cairo_status_t collect(void* closure, const unsigned char* data, unsigned int length) {
  auto& bytes = *static_cast<Bytes*>(closure);
  bytes.insert(bytes.end(), data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

Diagnostics broken(std::string_view what) {
  return fail({}, fmt::format("the picture could not be made: {}", printable(what)),
              "draw a shorter passage");
}

// Draws the sheet over `width` by `height` units of the context.
Result<Done> draw(cairo_t* context, const Sheet& sheet, double width, double height) {
  GError* error = nullptr;
  const Owned<RsvgHandle> handle(rsvg_handle_new_from_data(
      reinterpret_cast<const guint8*>(sheet.svg.data()), sheet.svg.size(), &error));
  if (!handle) return broken(Owned<GError>(error)->message);
  const RsvgRectangle viewport = {0.0, 0.0, width, height};
  if (!rsvg_handle_render_document(handle.get(), context, &viewport, &error)) {
    return broken(Owned<GError>(error)->message);
  }
  return Done{};
}

Result<Done> finished(cairo_surface_t* surface) {
  cairo_surface_finish(surface);
  const cairo_status_t status = cairo_surface_status(surface);
  if (status != CAIRO_STATUS_SUCCESS) return broken(cairo_status_to_string(status));
  return Done{};
}

double dots_per_inch(const Sheet& sheet) {
  const double usual = sheet.height.value / 25.4 * kUsualDotsPerInch;
  return usual <= kMostRows ? kUsualDotsPerInch : kUsualDotsPerInch * kMostRows / usual;
}

}  // namespace

Result<Bytes> pdf_of(std::span<const Sheet> sheets, std::string_view title) {
  Bytes bytes;
  const auto points = [](Millimetres length) { return length.value * kPointsPerMillimetre; };
  const Owned<cairo_surface_t> surface(cairo_pdf_surface_create_for_stream(
      collect, &bytes, points(sheets.front().width), points(sheets.front().height)));
  const std::string name = printable(title, kLongestTitle);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, name.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "arsis");
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, kNoDate);
  const Owned<cairo_t> context(cairo_create(surface.get()));
  for (const Sheet& sheet : sheets) {
    cairo_pdf_surface_set_size(surface.get(), points(sheet.width), points(sheet.height));
    const Result<Done> drawn =
        draw(context.get(), sheet, points(sheet.width), points(sheet.height));
    if (!drawn) return drawn.diagnostics();
    cairo_show_page(context.get());
  }
  const Result<Done> done = finished(surface.get());
  if (!done) return done.diagnostics();
  return bytes;
}

Result<Bytes> png_of(const Sheet& sheet) {
  const double dots = dots_per_inch(sheet);
  if (dots < kCoarsestDotsPerInch) {
    return fail({}, fmt::format("a picture {:.1f} m tall is too large", sheet.height.value / 1e3),
                "write .pdf, or draw a passage, with --from and --to");
  }
  const double width = std::round(sheet.width.value / 25.4 * dots);
  const double height = std::round(sheet.height.value / 25.4 * dots);
  const Owned<cairo_surface_t> surface(cairo_image_surface_create(
      CAIRO_FORMAT_RGB24, static_cast<int>(width), static_cast<int>(height)));
  const Owned<cairo_t> context(cairo_create(surface.get()));
  cairo_set_source_rgb(context.get(), 1.0, 1.0, 1.0);
  cairo_paint(context.get());
  const Result<Done> drawn = draw(context.get(), sheet, width, height);
  if (!drawn) return drawn.diagnostics();
  Bytes bytes;
  const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), collect, &bytes);
  if (status != CAIRO_STATUS_SUCCESS) return broken(cairo_status_to_string(status));
  return bytes;
}

}  // namespace arsis
