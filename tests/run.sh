#!/bin/sh
# sh tests/run.sh: builds narrows, runs all its tests and closes with "N passed, N failed".
# NARROWS_BUILD names another build folder than build.
set -u
top=$(cd "$(dirname "$0")/.." && pwd) || exit 1
. "$top/samples/setup.sh"

folder=${NARROWS_BUILD:-$top/build}
need build test
like_to_have page reference browser
say "Building in $folder"
build "$folder"
if ! grep -q "tests/unit" "$folder/build.ninja"; then
    meson setup --reconfigure "$folder" "$top" >/dev/null && build "$folder"
fi
rm -f "$folder/meson-logs/testlog.json" "$folder/meson-logs/testlog.junit.xml"
meson test -C "$folder" --no-rebuild --print-errorlogs >"$folder/tests.log" 2>&1
ran=$?
python3 "$top/tests/summary.py" "$folder/meson-logs" "$folder/tests.log" "$ran"
