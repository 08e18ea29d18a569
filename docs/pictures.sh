#!/bin/sh
# sh docs/pictures.sh: makes the pictures of README.md from the samples' results (sh samples/run.sh
# first). Needs rsvg-convert (librsvg2-bin).
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
results=${NARROWS_BUILD:-$top/build}/samples
mkdir -p "$top/docs/pictures"
for name in single-scull; do
    rsvg-convert --width 1400 --keep-aspect-ratio --background-color white \
        "$results/$name/marked.svg" --output "$top/docs/pictures/$name-marked.png"
done
