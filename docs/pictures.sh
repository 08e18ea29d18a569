#!/bin/sh
# sh docs/pictures.sh: makes the figures and the pictures of the documents from the samples' results
# (sh samples/run.sh first). Needs python3 and rsvg-convert (librsvg2-bin).
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
results=${NARROWS_BUILD:-$top/build}/samples
pictures=$top/docs/pictures
mkdir -p "$pictures"
python3 "$top/docs/figures.py"
rsvg-convert --width 1400 --keep-aspect-ratio --background-color white \
    "$results/single-scull/marked.svg" --output "$pictures/single-scull-marked.png"
python3 "$top/docs/gallery.py" "$top/samples" "$results" |
    rsvg-convert --unlimited --output "$pictures/before-after.png"
