# Sourced by samples/run.sh and tests/run.sh with $top set to the project's folder: installs what is
# missing (tests/packages) and builds out of tree. POSIX sh.

packages_list=$top/tests/packages

say() {
    printf '%s\n' "$*" >&2
}

# present PROBE: whether what a line of tests/packages asks for is there
present() {
    case $1 in
    command:*) command -v "${1#command:}" >/dev/null 2>&1 ;;
    module:*) pkg-config --exists "${1#module:}" 2>/dev/null ;;
    header:*) printf '#include <stdio.h>\n#include <%s>\n' "${1#header:}" | cc -E - >/dev/null 2>&1 ;;
    file:*) [ -e "${1#file:}" ] ;;
    package:*) dpkg-query -W -f='${db:Status-Status}' "${1#package:}" 2>/dev/null | grep -qx installed ;;
    *) false ;;
    esac
}

# missing GROUP...: prints the packages of these groups that are not there
missing() {
    for group in "$@"; do
        while read -r in_group package probe; do
            if [ "$in_group" = "$group" ] && ! present "$probe"; then
                printf '%s ' "$package"
            fi
        done <"$packages_list"
    done
}

# installed GROUP...: installs what these groups miss; sets $wanted to what it could not
installed() {
    wanted=$(missing "$@")
    [ -n "$wanted" ] || return 0
    as_root=
    if [ "$(id -u)" -ne 0 ]; then
        as_root=sudo
        command -v sudo >/dev/null 2>&1 || return 1
    fi
    command -v apt-get >/dev/null 2>&1 || return 1
    say "Installing: $wanted"
    # shellcheck disable=SC2086  # the list is meant to be split
    if ! apt_log=$({ $as_root apt-get -qq update &&
        $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq install --no-install-recommends \
            -o Dpkg::Use-Pty=0 $wanted; } 2>&1); then
        say "$apt_log"
    fi
    wanted=$(missing "$@")
    [ -z "$wanted" ]
}

# need GROUP...: sees that the packages of these groups are there, or stops with what to install
need() {
    if ! installed "$@"; then
        say "Please install these first (names as in Debian): $wanted"
        exit 1
    fi
}

# like_to_have GROUP...: the same, but goes on without them
like_to_have() {
    if ! installed "$@"; then
        say "Going on without these (names as in Debian): $wanted"
    fi
}

# configure FOLDER [meson option...]: when needed
configure() {
    [ -f "$1/build.ninja" ] || {
        configured=$1
        shift
        meson setup "$configured" "$top" "$@"
    }
}

# build FOLDER [meson option...]: configures and compiles; the log only when it fails
build() {
    folder=$1
    log=$folder.log
    if ! { configure "$@" && ninja -C "$folder"; } >"$log" 2>&1; then
        tail -n 40 "$log" >&2
        say "The build failed; all of its output is in $log"
        exit 1
    fi
    rm -f "$log"
}
