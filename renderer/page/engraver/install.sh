#!/usr/bin/env bash
# Fetches the engraving library with npm, once, for the staves of `arsis page`: into the cache,
# outside of the sources. Exits with 3 where it cannot be had. Prints the folder that it is in.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
for shared in "$here/cache.sh" "$here/../../../soundfonts/cache.sh"; do
  # shellcheck disable=SC1090  # beside this script where it is installed
  [ -f "$shared" ] && . "$shared" && break
done

wanted=$(sed -n 's/.*"verovio": "\([0-9.]*\)".*/\1/p' "$here/package.json")
tool="${cache:?}/verovio-$wanted"
if [ ! -d "$tool" ]; then
  if ! command -v npm >/dev/null || ! command -v node >/dev/null; then
    echo "npm is not here (Debian and Ubuntu: sudo apt install npm)" >&2
    exit 3
  fi
  mkdir -p "$cache"
  aside=$(mktemp -d "$cache/.making-XXXXXX")
  trap 'rm -rf "$aside"' EXIT
  cp "$here/package.json" "$here/package-lock.json" "$aside/"
  (cd "$aside" && timeout 120 npm ci --silent --ignore-scripts --no-audit --no-fund \
    --fetch-retries=1 --fetch-timeout=20000 >/dev/null) || {
    echo "verovio $wanted could not be fetched" >&2
    exit 3
  }
  # Where another run has been quicker, its folder stays.
  [ -d "$tool" ] || mv -T "$aside" "$tool"
fi
echo "$tool"
