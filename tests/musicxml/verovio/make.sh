#!/usr/bin/env bash
# Makes the lists of what Verovio plays of each notion: `make.sh [FOLDER]`, without one those that
# are kept. Verovio itself stays in the cache, outside of the sources, where the engraved staff has
# it from, too. Exits with 3 where it cannot be had.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
to=$(realpath -m "${1:-$here/reference}")
tool=$("$here/../../../renderer/page/engraver/install.sh")
# A script from standard input finds the packages of the folder that it runs in.
cd "$tool"
node --input-type=module - "$here/../notions" "$to" <"$here/reference.mjs"
