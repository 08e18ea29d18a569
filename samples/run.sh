#!/bin/sh
# sh samples/run.sh: builds narrows, puts samples/list to it, and says where the pictures are.
# Results go to build/samples; NARROWS_BUILD names another build folder.
set -u
top=$(cd "$(dirname "$0")/.." && pwd) || exit 1
. "$top/samples/setup.sh"

folder=${NARROWS_BUILD:-$top/build}
need build
like_to_have page
say "Building in $folder"
build "$folder"
folder=$(cd "$folder" && pwd) || exit 1
cd "$top" || exit 1
narrows=$folder/src/cli/narrows
results=$folder/samples
mkdir -p "$results" || exit 1

failed=0
while read -r picture options; do
    case $picture in '' | '#'*) continue ;; esac
    name=${picture%.*}
    printf '\n== %s  %s\n' "$picture" "$options"
    # shellcheck disable=SC2086  # the options are meant to be split
    "$narrows" check "samples/$picture" $options -o "$results/$name" >"$results/$name.txt"
    status=$?
    if [ "$status" -gt 1 ]; then
        say "narrows failed on $picture with exit status $status"
        failed=$((failed + 1))
        continue
    fi
    sed -n '/./!q; p' "$results/$name.txt"
    for file in marked.svg page.html; do
        [ ! -f "$results/$name/$file" ] || printf '%s\n' "$results/$name/$file"
    done
done <"$top/samples/list"

printf '\nFor your own picture:\n%s check PICTURE --wide 120mm --cut inside --bit 1/8in\n' "$narrows"
page=$folder/src/report/page/narrows.html
[ ! -f "$page" ] || printf 'or, in any browser, drop it on\n%s\n' "$page"
[ "$failed" -eq 0 ]
