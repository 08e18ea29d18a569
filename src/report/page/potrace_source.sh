#!/bin/sh
# potrace_source.sh FOLDER: libpotrace's source, as potrace in FOLDER, from Debian's source package of
# the version that is installed. apt fetches it and holds it against the signed index, with a list of
# sources, an index and a cache of its own in FOLDER; the machine's stay as they are.
set -eu
export LC_ALL=C
command -v apt-get >/dev/null
mkdir -p "$1"
cd "$1"
rm -rf potrace potrace.part potrace.apt
mkdir -p potrace.part potrace.apt/state/lists/partial potrace.apt/cache/archives/partial

# The mirror and the release that the library came from; without an index of packages, the machine's own first mirror.
# shellcheck disable=SC1091
release=$(. /etc/os-release && echo "$VERSION_CODENAME")
version=$(dpkg-query -W -f='${Version}' libpotrace-dev)
mirror=$(grep -rhv '^ *#' /etc/apt/sources.list /etc/apt/sources.list.d 2>/dev/null | grep -oE 'https?://[^ ]+/debian/?( |$)' | head -n 1)
from=$(apt-cache policy libpotrace-dev | awk -v own="$mirror $release main" '
    $1 == "***" { installed = 1; next }
    installed && $2 ~ /^https?:/ { split($3, part, "/"); own = $2 " " part[1] " " part[2]; exit }
    END { print own }')
keys=/usr/share/keyrings/debian-archive-keyring.gpg
[ ! -r $keys ] || keys_option="[signed-by=$keys] "
echo "deb-src ${keys_option-}$from" >potrace.apt/sources.list

apt() {
    apt-get -qq -o Dir::Etc::SourceList="$PWD/sources.list" -o Dir::Etc::SourceParts=/dev/null \
        -o Dir::State="$PWD/state" -o Dir::Cache="$PWD/cache" -o APT::Sandbox::User="$(id -un)" \
        -o Acquire::Retries=0 -o Acquire::http::Timeout=20 -o Acquire::https::Timeout=20 "$@"
}
(cd potrace.apt && apt update && apt source --download-only "potrace=$version")
tar -xzf potrace.apt/potrace_*.orig.tar.gz --strip-components=1 -C potrace.part
rm -rf potrace.apt
mv potrace.part potrace
