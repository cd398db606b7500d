#!/usr/bin/env bash
# Engraves the kept excerpts anew, as the program has them engraved: `make.sh [FILE]`, without one
# the answer that is kept. Exits with 3 where the engraving library cannot be had.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
to=${1:-$here/answer.txt}
engraver="$here/../../../renderer/page/engraver"
tool=$("$engraver/install.sh")
for excerpt in first second; do
  echo "$(wc -c <"$here/$excerpt.musicxml") 2500"
  cat "$here/$excerpt.musicxml"
done | node --input-type=module --eval "$(cat "$engraver/engrave.mjs")" "$tool" >"$to"
