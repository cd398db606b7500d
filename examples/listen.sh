#!/usr/bin/env bash
# Sets everything up, then renders Lantern Song flat, shaped, and in another reading, says what to listen
# for, and plays them where there is a sound device.
set -euo pipefail
cd "$(dirname "$0")/.."
. examples/packages.sh
# shellcheck disable=SC2086  # a list of words
need_packages $BUILD_PACKAGES

echo "Building (some minutes the first time) ..."
cmake --preset release >/dev/null
cmake --build --preset release
arsis=build/release/arsis
out=examples/heard
mkdir -p "$out"

# The piano of many layers where npm can fetch its samples (a SoundFont of your own goes before it).
. soundfonts/cache.sh
if [ -n "${ARSIS_SOUNDFONT:-}" ] || compgen -G 'soundfonts/*.sf[23]' >/dev/null; then
  echo "It sounds with your own SoundFont."
elif compgen -G "$cache/grand-*.sf2" >/dev/null; then
  echo "It sounds with the many-layered piano in $cache."
elif ! command -v npm >/dev/null; then
  echo "It sounds with the small SoundFont. With npm (sudo apt install npm) a better piano would be built."
elif echo "A better piano is built once: 40 MB to download, 270 MB of disk in all, a minute or two." &&
  soundfonts/build-grand.sh; then
  echo "It sounds with the many-layered piano, built just now."
else
  echo "The better piano could not be built; it sounds with the small SoundFont."
fi
# The library that engraves staves on marked pages, likewise; without it notes are drawn plainly.
if command -v npm >/dev/null; then renderer/page/engraver/install.sh >/dev/null 2>&1 || true; fi

echo
"$arsis" check plans/lantern-song.yaml
echo
"$arsis" render plans/lantern-song.yaml --amount 0% -o "$out/1-flat.flac"
"$arsis" render plans/lantern-song.yaml -o "$out/2-shaped.flac"
"$arsis" render plans/lantern-song-other.yaml -o "$out/3-other-reading.flac"
"$arsis" render plans/lantern-song.yaml -o "$out/shaped.mid"
"$arsis" page plans/lantern-song-page.yaml -o "$out/lantern-song.pdf"
"$arsis" page plans/lantern-song.yaml --reading plans/lantern-song-other.yaml -o "$out/lantern-song.html"
"$arsis" lesson plans/lantern-song.yaml -o "$out/class" --questions 6 --force

cat <<'TEXT'

Three performances of one song, with the same printed dynamics. Turn the sound to a comfortable level
first. Listen for this:

1-flat           Every note stands at its printed dynamic, every beat is even. The hairpins are there, but
                 no phrase comes from anywhere or goes anywhere.
2-shaped         Each bar-long motif leans over the bar line to the downbeat. Of the first two phrases the
                 second leads: the E over a B flat in bar 5. In bars 7 to 12 two phrases are alike and a third
                 goes on: it leads, in bar 11. Bars 13 to 18 climb over a bass that climbs by semitones; the
                 B flat of bar 18 is the summit of the song. In bars 22 to 24 the line rises while the print
                 says diminuendo: it does not get louder there, it gets broader. From bar 25 the first words
                 come back softly, and now their first phrase leads (bar 26). Between phrases the hand breathes.
3-other-reading  The same notes and dynamics, other goals. Each leap upwards leads and what follows falls away
                 from it; the answer leads only when the words return (bars 28 to 30); at the end the heart
                 of the farewell is the last leading note, in bar 34. Which reading do you believe?

lantern-song.html, in a browser, has all of these with the picture: click a curve and you hear it.
lantern-song.pdf is the marked page to print.
class/lesson.html asks six questions of the song: can you hear which motif leads?
TEXT

player=""
for candidate in pw-play paplay aplay; do
  command -v "$candidate" >/dev/null && { player=$candidate; break; }
done
if [ -n "$player" ] && { [ -e /dev/snd/timer ] || [ -n "${PULSE_SERVER:-}${PIPEWIRE_REMOTE:-}" ]; }; then
  for plan in "plans/lantern-song.yaml --amount 0%" plans/lantern-song.yaml \
    plans/lantern-song-other.yaml; do
    # aplay reads no FLAC, so that what is played is rendered anew.
    # shellcheck disable=SC2086  # a plan and its options
    "$arsis" render $plan -o "$out/now.wav" >/dev/null
    "$player" "$out/now.wav" || break
  done
  rm -f "$out/now.wav"
else
  echo
  echo "No sound device was found here. The files are in $out; play them where there is one."
fi
