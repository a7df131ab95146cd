#!/bin/sh
# install.sh BUILD - meson install into an empty folder, and what was installed works by itself.
set -eu
build=$(cd "$1" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
DESTDIR=$work/root meson install -C "$build" --no-rebuild >"$work/log" || {
    cat "$work/log"
    exit 1
}
program=$(find "$work/root" -type f -path '*/bin/curetrace')
share=$(dirname "$(dirname "$program")")/share
export HOME="$work/home" LC_ALL=C.UTF-8 COLUMNS=80
unset CURETRACE_NOTEBOOK XDG_DATA_HOME XDG_CONFIG_HOME
mkdir "$HOME"
cd "$HOME"

fail() {
    echo "$1"
    exit 1
}
"$program" test --procedures >out || fail "no procedures"
grep -q '^soap-1pct-40c ' out || fail "soap-1pct-40c is not found: $(cat out)"
"$program" demo demo >out || fail "no demo: $(cat out)"
[ -s demo/notebook.sqlite ] || fail "the demo left no notebook"
"$program" verdict L-01 --notebook demo/notebook.sqlite >out || fail "no verdict"
grep -q 'lye-heavy' out || fail "L-01 is not lye-heavy: $(cat out)"
[ -s "$share/bash-completion/completions/curetrace" ] || fail "no completion"
bash -n "$share/bash-completion/completions/curetrace" || fail "the completion is no bash"
# Manual pages: all or, without the converter, none.
if [ -d "$share/man" ]; then
    "$program" --help | sed -n 's/^  \([a-z][a-z]*\) .*/\1/p' | sort -u | while read -r command; do
        [ "$command" != curetrace ] || continue
        page=$(find "$share/man" -name "curetrace-$command.1*")
        [ -s "$page" ] || fail "no manual page of $command"
    done
    [ -s "$share/man/man1/curetrace.1" ] || fail "no manual page curetrace.1"
fi
