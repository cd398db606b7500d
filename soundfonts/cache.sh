# shellcheck shell=bash disable=SC2034
# Sourced: `cache` is the folder of built SoundFonts, as the program finds it. A path that does not
# begin at the root is ignored.
case "${XDG_CACHE_HOME:-}" in
  /*) cache="$XDG_CACHE_HOME/arsis" ;;
  *) cache="${HOME:?}/.cache/arsis" ;;
esac
