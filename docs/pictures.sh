#!/bin/sh
# sh docs/pictures.sh: makes the figures and the pictures of the documents from the samples' results
# (sh samples/run.sh first). Needs python3 and rsvg-convert (librsvg2-bin), and chromium for the page.
set -eu
top=$(cd "$(dirname "$0")/.." && pwd)
build=$(cd "${NARROWS_BUILD:-$top/build}" && pwd)
results=$build/samples
narrows=$build/src/cli/narrows
pictures=$top/docs/pictures
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$pictures"

# drawing SVG NAME [PIXELS]: a drawing as a picture, 1400 pixels wide
drawing() {
    rsvg-convert --width "${3:-1400}" --keep-aspect-ratio --background-color white "$1" --output "$pictures/$2.png"
}

# narrows, where spots are no failure
answer() {
    "$narrows" "$@" --quiet || [ $? -eq 1 ]
}

python3 "$top/docs/figures.py"
drawing "$results/single-scull/marked.svg" single-scull-marked
python3 "$top/docs/gallery.py" "$top/samples" "$results" |
    rsvg-convert --unlimited --output "$pictures/before-after.png"

cd "$top"

# The guide's boat shed, by its lines' edges and middles.
for mode in as-drawn outer inner middle; do
    answer outline samples/boat-shed.png --wide 300mm --lines $mode -o "$work/$mode.svg"
done
python3 "$top/docs/lines_picture.py" "$work" | rsvg-convert --output "$pictures/lines.png"

# The guide's heron, before and after.
heron="samples/heron.png --wide 360mm --cut inside --bit 1/8in"
# shellcheck disable=SC2086  # the options are meant to be split
answer widen $heron --stubs open --misses open -o "$work/widened"
drawing "$work/widened/widened.svg" heron-widened

if "$narrows" bits --help >/dev/null 2>&1; then
    # shellcheck disable=SC2086
    answer bits ${heron% --bit*} -o "$work/bits"
    drawing "$work/bits/bits.svg" heron-bits 800
fi

python3 "$top/docs/page_picture.py" "$results/single-scull/page.html" "$pictures/page.png"
