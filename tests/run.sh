#!/usr/bin/env bash
# Sets everything up and passes the tests: formatting, the dev and the sanitize builds, the second
# opinion on MusicXML and the pages in a browser (where npm can fetch what they need), the
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
  ctest --preset "$preset" -j3 -E '^live$'
done

# Playing takes its time but little of a core: what the fuzz targets need is built meanwhile, where
# nobody else wants the other one.
say "Live tests: dev, sanitize"
cmake --preset fuzz >/dev/null
fuzz_log=$(mktemp)
nice -n 19 cmake --build --preset fuzz -- -j1 >"$fuzz_log" 2>&1 &
fuzz_build=$!
status=0
for preset in dev sanitize; do
  ctest --preset "$preset" -R '^live$' || status=$?
done
wait "$fuzz_build" || { cat "$fuzz_log"; status=1; }
rm "$fuzz_log"
[ "$status" = 0 ] || exit "$status"

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

say "The pages in a browser"
status=0
tests/browser/run.sh build/dev/arsis || status=$?
if [ "$status" = 3 ]; then
  echo "the pages have not been tried in a browser"
elif [ "$status" != 0 ]; then
  exit "$status"
fi

say "Fuzz targets"
fuzz() {
  local target=$1 name scratch runs=20000
  name=$(basename "$target")
  local corpus=("tests/fuzz/corpus/${name#fuzz_}")
  if [ "$name" = fuzz_musicxml ]; then corpus+=(tests/musicxml/notions); fi
  if [ "$name" = fuzz_draft ]; then runs=5000; fi  # each drafts a whole piece
  if [ "$name" = fuzz_take ]; then runs=100; fi    # each compares a whole take with all readings
  scratch=$(mktemp -d)
  # The kept corpus first, every file of it; then a fixed number of new inputs, the same each time.
  "$target" -runs=0 -verbosity=0 "${corpus[@]}"
  "$target" -runs=$runs -seed=1 -max_len=4096 -timeout=20 -rss_limit_mb=3000 -verbosity=0 \
    "$scratch" "${corpus[@]}"
  rm -rf "$scratch"
  echo "$name: passed"
}
export -f fuzz
find build/fuzz/tests/fuzz -maxdepth 1 -type f -executable -name 'fuzz_*' | sort |
  xargs -P2 -I{} bash -euo pipefail -c 'fuzz {}'

say "All passed"
