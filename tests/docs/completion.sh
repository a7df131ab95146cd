#!/bin/bash
# completion.sh PROGRAM COMPLETION - what bash offers while a command line is typed.
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME=$work CURETRACE_NOTEBOOK=$work/notebook.sqlite
unset XDG_CONFIG_HOME
mkdir -p "$work/.config/curetrace/procedures"
touch "$work/.config/curetrace/procedures/my-test.ini"
# shellcheck disable=SC1090 # made by the build
source "$2"
failed=0

# offers LINE EXPECTED ...: every expected word, and with "no WORD" not that one.
offers() {
    local line=$1 expected word found quoted
    shift
    # shellcheck disable=SC2034 # as bash sets them for a completion
    COMP_LINE="$program${line#curetrace}" COMP_POINT=$((${#program} + ${#line} - 9))
    _curetrace
    for expected in "$@"; do
        found=
        printf -v quoted %q "${expected#no }"
        for word in "${COMPREPLY[@]}"; do
            [ "$word" != "$quoted" ] || found=yes
        done
        if [[ $expected == "no "* ]]; then
            [ -n "$found" ] || continue
        elif [ -n "$found" ]; then
            continue
        fi
        echo "'$line' offers '${COMPREPLY[*]}', expected $expected"
        failed=1
    done
}

"$program" batch add W-07 --made 2026-03-02 2>/dev/null >&2
offers 'curetrace ' batch verdict calibrate --help
offers 'curetrace ver' verdict verify 'no batch'
offers 'curetrace batch ' add list show 'no --made'
offers 'curetrace batch add --' --made --title --notebook --help 'no --budget'
offers 'curetrace verdict --b' --budget 'no --all'
offers 'curetrace verdict ' W-07
offers 'curetrace verdict W' W-07
offers 'curetrace batch show ' W-07
offers 'curetrace test W-07 --procedure ' soap-1pct-40c paper-only my-test
offers 'curetrace test W-07 --procedure soap' soap-1pct-40c soap-1pct-room 'no my-test'
offers 'curetrace gear add x --kind ' meter paper balance thermometer buffer
offers 'curetrace batch add W-08 --role l' lye-heavy 'no control'
offers 'curetrace batch add W-08 --reference ' W-07
offers 'curetrace verdict W-07 --notebook ' 'no W-07' 'no --all'
offers 'curetrace nonsense ' 'no W-07' 'no --help'
"$program" gear add bench --kind meter --resolution-ph 0.01 2>/dev/null >&2
"$program" batch add 'oat bar' --made 2026-03-02 --notebook "$work/other" 2>/dev/null >&2
offers 'curetrace gear show ' bench 'no W-07'
offers 'curetrace calibrate b' bench
offers 'curetrace read W-07 --meter ' bench
offers 'curetrace gear add x --kind buffer --buffer bor' borax 'no carbonate'
offers 'curetrace batch add x --fat ol' 'olive oil (virgin, refined)' 'no palm oil'
offers 'curetrace gear add ' 'no bench'
offers "curetrace verdict --notebook $work/other " 'oat bar' 'no W-07'
exit $failed
