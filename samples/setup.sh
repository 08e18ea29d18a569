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

# need GROUP...: sees that the packages of these groups are there, or stops with what to install
need() {
    wanted=$(missing "$@")
    [ -n "$wanted" ] || return 0
    as_root=
    if [ "$(id -u)" -ne 0 ]; then
        as_root=sudo
    fi
    if ! command -v apt-get >/dev/null 2>&1 || { [ "$as_root" ] && ! command -v sudo >/dev/null 2>&1; }; then
        say "Please install these first (names as in Debian): $wanted"
        exit 1
    fi
    say "Installing: $wanted"
    # shellcheck disable=SC2086  # the list is meant to be split
    if ! apt_log=$({ $as_root apt-get -qq update &&
        $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq install --no-install-recommends \
            -o Dpkg::Use-Pty=0 $wanted; } 2>&1); then
        say "$apt_log"
        say "apt-get failed. Please install these by hand: $wanted"
        exit 1
    fi
    left=$(missing "$@")
    if [ -n "$left" ]; then
        say "Installed, but still not found: $left"
        exit 1
    fi
}

# build FOLDER [meson option...]: configures when needed, and compiles; the log only when it fails
build() {
    folder=$1
    shift
    log=$folder.log
    if ! { { [ -f "$folder/build.ninja" ] || meson setup "$folder" "$top" "$@"; } &&
        ninja -C "$folder"; } >"$log" 2>&1; then
        tail -n 40 "$log" >&2
        say "The build failed; all of its output is in $log"
        exit 1
    fi
    rm -f "$log"
}
