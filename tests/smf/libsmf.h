// Files as libsmf reads them: a second opinion.
#pragma once

// libsmf's header needs glib's before it.
#include <glib.h>
#include <smf.h>

#include <memory>

#include "base/files.h"

namespace arsis::test {

struct SmfDeleter {
  void operator()(smf_t* smf) const { smf_delete(smf); }
};
using LibsmfFile = std::unique_ptr<smf_t, SmfDeleter>;

// None where libsmf refuses it.
inline LibsmfFile read_by_libsmf(const Bytes& bytes) {
  return LibsmfFile(smf_load_from_memory(bytes.data(), static_cast<int>(bytes.size())));
}

}  // namespace arsis::test
