#!/usr/bin/env bash
# Builds a piano that brightens as it grows louder: a SoundFont of 4, 8 or 16 recorded layers, in the
# cache, where every command of Arsis finds it. Samples are fetched by npm, once.
set -euo pipefail
cd "$(dirname "$0")/.."

usage() {
  echo "usage: soundfonts/build-grand.sh [4|8|16] [--key-off]" >&2
  exit 2
}
layers=8
key_off=""
for word in "$@"; do
  case "$word" in
    4 | 8 | 16) layers=$word ;;
    --key-off) key_off="-key-off" ;;
    *) usage ;;
  esac
done

# Evenly spread over the sixteen layers there are, the softest and the loudest among them.
case "$layers" in
  4) chosen="1 6 11 16" ;;
  8) chosen="1 3 5 7 10 12 14 16" ;;
  16) chosen="1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16" ;;
esac
version=1.0.5

. soundfonts/cache.sh
name="grand-$layers$key_off"
font="$cache/$name.sf2"
credit="$cache/$name.txt"
samples="$cache/samples"

if [ -e "$font" ] && [ -e "$credit" ]; then
  echo "$font is there."
  exit 0
fi

# What is in the cache under its own name is whole: everything is made in here and then renamed.
mkdir -p "$samples"
find "$cache" -maxdepth 1 -name '.making-*' -mmin +600 -exec rm -rf {} +  # of a run that was killed
aside=$(mktemp -d "$cache/.making-XXXXXX")
trap 'rm -rf "$aside"' EXIT
trap 'exit 130' INT TERM HUP

missing=""
for layer in $chosen; do
  [ -d "$samples/velocity$layer" ] || missing="$missing velocity$layer"
done
[ -z "$key_off" ] || [ -d "$samples/release" ] || missing="$missing release"

# One package of samples, which npm checks against its registry's sum.
fetch() {
  mkdir -p "$aside/$1"
  (cd "$aside" && npm pack --silent --ignore-scripts "@audio-samples/piano-$1@$version" >/dev/null) ||
    return 1
  tar -xzf "$aside/audio-samples-piano-$1-$version.tgz" -C "$aside/$1" --strip-components 2 \
    package/audio || return 1
  # Where another run has been quicker, its folder stays.
  [ -d "$samples/$1" ] || mv -T "$aside/$1" "$samples/$1"
}

if [ -n "$missing" ]; then
  if ! command -v npm >/dev/null; then
    echo "The piano's samples are fetched by npm, which is not installed here." >&2
    echo "On Debian and Ubuntu: sudo apt install npm; or stay with the small SoundFont." >&2
    exit 3
  fi
  count=$(echo "$missing" | wc -w)
  echo "Downloading $count packages of piano samples, some $((count * 5)) MB, once ..."
  for package in $missing; do
    echo "  $package"
    fetch "$package" || {
      echo "The samples '$package' could not be fetched; is there a connection? Run this again." >&2
      exit 3
    }
  done
fi

. examples/packages.sh
# shellcheck disable=SC2086  # a list of words
need_packages $BUILD_PACKAGES
echo "Building $name.sf2 (a minute or two) ..."
cmake --preset release >/dev/null
cmake --build --preset release --target build_grand -- --quiet | sed "/no work to do/d"

folders=()
for layer in $chosen; do folders+=("$samples/velocity$layer"); done
noise=()
[ -z "$key_off" ] || noise=(--key-off "$samples/release")
build/release/build_grand "${folders[@]}" "${noise[@]}" --name "Grand piano, $layers layers" \
  --credit soundfonts/grand/credit.txt -o "$aside/$name.sf2" || {
  echo "If samples are damaged, take the folder $samples away and run this again." >&2
  exit 1
}
cp soundfonts/grand/credit.txt "$aside/$name.txt"
mv "$aside/$name.txt" "$credit"
mv "$aside/$name.sf2" "$font"
echo "The piano is $font."
echo "Its samples are by Alexander Holm (CC BY 3.0); see $name.txt beside it."
