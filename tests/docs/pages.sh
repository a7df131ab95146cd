#!/bin/sh
# pages.sh check|renew PROGRAM SOURCE [PAGE ...] - run what the pages of docs/ show, and compare or rewrite it.
#
# (1) A block that begins with ```console is run: a line that begins with "$ " is a command (one that ends in \
#     goes on in the next line), the lines below it are what it prints.
# (2) A line that is only "..." stands for any number of lines.
# (3) A block that begins with ```answers FILE is kept as that file, to be read by a later command; ```ini FILE
#     and ```csv FILE likewise.
# (4) Every page has a kitchen of its own with the invented workshop's notebook in it; README.md and
#     tutorial.md begin without one. Screens are 80 columns wide and have no colour.
# (5) The clock stands still at an evening in the workshop, whatever day it is.
# (6) Links to other pages and pictures lead somewhere.
# (7) renew writes the new output into the page, keeps what a "..." leaves out, and copies the pictures that
#     the page shows from images/.
set -eu

mode=$1 program=$2 source=$3
shift 3
[ $# -gt 0 ] || set -- "$source"/README.md "$source"/docs/*.md
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export LC_ALL=C.UTF-8 COLUMNS=80 NO_COLOR=1
unset CURETRACE_NOTEBOOK XDG_DATA_HOME XDG_CONFIG_HOME
PATH=$(cd "$(dirname "$program")" && pwd):$PATH

. "$source/tests/docs/clock.sh" # rule 5

# The invented workshop, line by line as a person would type it.
HOME=$work/demo
export HOME
mkdir -p "$HOME"
sed -n '/^[a-z]/s/^/curetrace /p' "$source/samples/workshop.txt" >"$work/workshop"
faketime -f "$evening" sh -e "$work/workshop" >"$work/out" 2>&1 || {
    cat "$work/out"
    exit 1
}

status=0
for page in "$@"; do
    for link in $(grep -o '](\([^)# ]*\)' "$page" | sed 's/^](//' | grep -v '^http'); do
        [ -e "$(dirname "$page")/$link" ] || {
            echo "$page: there is no $link" >&2
            status=1
        }
    done
    case $page in
    /*) ;;
    *) page=$PWD/$page ;;
    esac
    grep -qs '^```console' "$page" || continue
    bad=
    HOME=$work/kitchen
    rm -rf "$HOME"
    mkdir "$HOME"
    case $page in
    *README.md | *tutorial.md) ;;
    *) cp -r "$work/demo/.local" "$HOME" ;;
    esac
    (cd "$HOME" && faketime -f "$evening" \
        awk -v home="$HOME" -v name="$page" -v mode="$mode" -f "$source/tests/docs/pages.awk" "$page") \
        >"$work/page" || bad=1
    if [ "$mode" = renew ]; then
        [ -z "$bad" ] || exit 1
        cmp -s "$work/page" "$page" || cp "$work/page" "$page"
        for picture in $(grep -o 'images/[a-z0-9-]*\.png' "$page"); do
            [ ! -f "$HOME/$(basename "$picture")" ] || cp "$HOME/$(basename "$picture")" "$source/docs/$picture"
        done
    else
        cat "$work/page"
        [ -z "$bad" ] || status=1
    fi
done
exit $status
