#!/bin/sh
# readme.sh PROGRAM SOURCE - the first batch of README.md, typed as it stands there, ends in a verdict.
set -eu
PATH=$(cd "$(dirname "$1")" && pwd):$PATH
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME="$work" LC_ALL=C.UTF-8 COLUMNS=80 NO_COLOR=1
unset CURETRACE_NOTEBOOK XDG_DATA_HOME XDG_CONFIG_HOME
. "$2/tests/docs/clock.sh"
# The answers are those of the tutorial's first test.
sed -n '/^```answers first.txt$/,/^```$/p' "$2/docs/tutorial.md" | sed '1d;$d' >"$work/answers"
sed -n 's/^    \(curetrace .*\)/\1/p' "$2/README.md" >"$work/lines"
grep -q '^curetrace verdict W-01$' "$work/lines"
while read -r line; do
    faketime -f "$evening" sh -c "$line" <"$work/answers" >"$work/out" 2>&1 || {
        echo "README.md: '$line' failed:"
        cat "$work/out"
        exit 1
    }
    [ "$line" != 'curetrace verdict W-01' ] || cp "$work/out" "$work/verdict"
done <"$work/lines"
grep -q '^W-01, .* days old: within$' "$work/verdict" || {
    cat "$work/verdict"
    exit 1
}
