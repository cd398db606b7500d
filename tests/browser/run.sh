#!/usr/bin/env bash
# Opens listening and lesson pages in a real browser and listens: `run.sh PROGRAM [SCRIPT]`, the built
# `arsis` with the tests beside it, and a script to be run in place of the tests. What it needs beside
# the browser stays in the cache, outside of the sources. Exits with 3 where that, or the browser,
# cannot be had.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=$(realpath "${1:?name the built program}")
script=$(realpath "${2:-$here}")
cd "$here/../.."
. soundfonts/cache.sh

browser=$(command -v chromium || true)
# A snap keeps its browser from files outside of the home folder, and so from the pages.
if [ -z "$browser" ] || grep -qs snap "$browser"; then
  echo "there is no chromium that can be driven (Debian: sudo apt install chromium)" >&2
  exit 3
fi
if ! command -v npm >/dev/null || ! command -v node >/dev/null; then
  echo "npm is not here (Debian and Ubuntu: sudo apt install npm)" >&2
  exit 3
fi
wanted=$(node -p 'Object.values(require("./tests/browser/package.json").dependencies).join("-")')
tool="$cache/browser-tests-$wanted"
if [ ! -d "$tool" ]; then
  mkdir -p "$cache"
  aside=$(mktemp -d "$cache/.making-XXXXXX")
  trap 'rm -rf "$aside"' EXIT
  cp "$here/package.json" "$aside/"
  (cd "$aside" && timeout 120 npm install --silent --ignore-scripts --no-audit --no-fund --no-package-lock \
    --fetch-retries=1 --fetch-timeout=20000 >/dev/null) || {
    echo "what the tests need of npm ($wanted) could not be fetched" >&2
    exit 3
  }
  # Where another run has been quicker, its folder stays.
  [ -d "$tool" ] || mv -T "$aside" "$tool"
fi

pages=$(mktemp -d)
trap 'rm -rf "$pages"' EXIT
make_page() { "$program" page "$@" >/dev/null; }
make_page plans/lantern-song.yaml --reading plans/lantern-song-other.yaml -o "$pages/lantern-song.html"
for piece in ferry-study mill-round; do
  make_page "plans/$piece.yaml" --versions flat,shaped -o "$pages/$piece.html"
done
make_page tests/browser/hostile.yaml --sentence 1 --versions shaped -o "$pages/hostile.html"
# With the package's instrument, whatever else is on the machine: its mean power is near to loudness.
font=/usr/share/sounds/sf2/TimGM6mb.sf2
[ -f "$font" ] || font=
"$program" lesson plans/lantern-song.yaml plans/mill-round.yaml --questions 6 \
  ${font:+--soundfont "$font"} -o "$pages/set" >/dev/null
lessons=$(dirname "$program")/tests/make_lessons
if [ -x "$lessons" ] || [ -d "$script" ]; then "$lessons" "$pages"; fi
export ARSIS_PAGES="$pages" ARSIS_BROWSER="$browser" ARSIS_MODULES="$tool/node_modules"
if [ -d "$script" ]; then
  timeout 300 node --test "$script"
else
  timeout 300 node "$script"
fi
