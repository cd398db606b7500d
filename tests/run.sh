#!/usr/bin/env bash
# Sets everything up and passes the tests: formatting, the dev and the sanitize builds, the second
# opinion on MusicXML and the listening page in a browser (where npm can fetch what they need), the
# fuzz targets over their kept corpus.
set -euo pipefail
cd "$(dirname "$0")/.."
. examples/packages.sh
# shellcheck disable=SC2086  # lists of words
need_packages $BUILD_PACKAGES $TEST_PACKAGES

say() { printf '\n== %s\n' "$1"; }

say "Formatting"
find renderer soundfonts tests examples -name '*.cc' -o -name '*.h' | sort |
  xargs clang-format-14 --dry-run -Werror
echo "every file is formatted"

for preset in dev sanitize; do
  say "Build and tests: $preset"
  cmake --preset "$preset" -DARSIS_JOINED=ON >/dev/null
  cmake --build --preset "$preset" -- --quiet
  ctest --preset "$preset" -j3
done

say "Engraved staves"
status=0
engraver=$(renderer/page/engraver/install.sh) || status=$?
if [ "$status" = 0 ]; then
  ARSIS_ENGRAVER=$engraver build/dev/tests/page_tests --gtest_filter='LiveStaff.*' --gtest_brief=1
elif [ "$status" = 3 ]; then
  echo "no staff is engraved anew; the kept ones have been read"
else
  exit "$status"
fi

say "Second opinion on MusicXML"
scratch=$(mktemp -d)
status=0
tests/musicxml/verovio/make.sh "$scratch" || status=$?
if [ "$status" = 0 ]; then
  diff -r tests/musicxml/verovio/reference "$scratch"
  echo "made anew, the reference is the same"
elif [ "$status" = 3 ]; then
  echo "the reference is not made anew; the kept one has been compared"
else
  exit "$status"
fi
rm -rf "$scratch"

say "The listening page in a browser"
status=0
tests/browser/run.sh build/dev/arsis || status=$?
if [ "$status" = 3 ]; then
  echo "the page has not been tried in a browser"
elif [ "$status" != 0 ]; then
  exit "$status"
fi

say "Fuzz targets"
cmake --preset fuzz >/dev/null
cmake --build --preset fuzz -- --quiet
for target in build/fuzz/tests/fuzz/fuzz_*; do
  [ -x "$target" ] && [ -f "$target" ] || continue
  name=$(basename "$target")
  corpus=("tests/fuzz/corpus/${name#fuzz_}")
  if [ "$name" = fuzz_musicxml ]; then corpus+=(tests/musicxml/notions); fi
  runs=20000
  if [ "$name" = fuzz_draft ]; then runs=5000; fi  # each drafts a whole piece
  if [ "$name" = fuzz_take ]; then runs=100; fi    # each compares a whole take with all readings
  scratch=$(mktemp -d)
  # The kept corpus first, every file of it; then a fixed number of new inputs, the same each time.
  "$target" -runs=0 -verbosity=0 "${corpus[@]}"
  "$target" -runs=$runs -seed=1 -max_len=4096 -timeout=20 -rss_limit_mb=3000 -verbosity=0 \
    "$scratch" "${corpus[@]}"
  rm -rf "$scratch"
  echo "$name: passed"
done

say "All passed"
