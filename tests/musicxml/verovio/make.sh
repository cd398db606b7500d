#!/usr/bin/env bash
# Makes the lists of what Verovio plays of each notion: `make.sh [FOLDER]`, without one those that
# are kept. Verovio itself stays in the cache, outside of the sources. Exits with 3 where it cannot
# be had.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
to=$(realpath -m "${1:-$here/reference}")
cd "$here/../../.."
. soundfonts/cache.sh

if ! command -v npm >/dev/null || ! command -v node >/dev/null; then
  echo "npm is not here (Debian and Ubuntu: sudo apt install npm)" >&2
  exit 3
fi
wanted=$(node -p 'require("./tests/musicxml/verovio/package.json").dependencies.verovio')
tool="$cache/verovio-$wanted"
if [ ! -d "$tool" ]; then
  mkdir -p "$cache"
  aside=$(mktemp -d "$cache/.making-XXXXXX")
  trap 'rm -rf "$aside"' EXIT
  cp "$here/package.json" "$aside/"
  (cd "$aside" && timeout 120 npm install --silent --ignore-scripts --no-audit --no-fund --no-package-lock \
    --fetch-retries=1 --fetch-timeout=20000 >/dev/null) || {
    echo "verovio $wanted could not be fetched" >&2
    exit 3
  }
  # Where another run has been quicker, its folder stays.
  [ -d "$tool" ] || mv -T "$aside" "$tool"
fi
# A script from standard input finds the packages of the folder that it runs in.
cd "$tool"
node --input-type=module - "$here/../notions" "$to" <"$here/reference.mjs"
