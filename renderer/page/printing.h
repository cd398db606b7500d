// From SVG to files that print: PDF and PNG, by librsvg and cairo. Same input, same bytes, with the
// same fonts installed.
#pragma once

#include <span>
#include <string_view>

#include "base/diagnostic.h"
#include "base/files.h"
#include "page/sheet.h"

namespace arsis {

// One page for each sheet, with real text in it. The dates that a PDF may carry are always the
// same. Errors: a sheet that cannot be read.
Result<Bytes> pdf_of(std::span<const Sheet> sheets, std::string_view title);

// A picture's resolution: as fine as usual, and coarser where the picture would have more than
// kMostRows rows; none below kCoarsest.
inline constexpr double kUsualDotsPerInch = 150.0;
inline constexpr double kCoarsestDotsPerInch = 72.0;
inline constexpr int kMostRows = 20'000;

// On white. Errors: a sheet that cannot be read, or one too tall for kMostRows.
Result<Bytes> png_of(const Sheet& sheet);

}  // namespace arsis
