#!/bin/sh
# man.sh LOWDOWN PAGE.md OUTPUT.1 VERSION - a page of docs/ as a manual page.
set -eu
name=$(basename "$3" .1)
awk -v name="$name" -f "$(dirname "$0")/man.awk" "$2" |
    "$1" -s -t man -m title="$name" -m section=1 -m volume="curetrace $4" -m date= | sed '/^\.SH$/{N;s/\n/ /}' >"$3"
