#!/bin/sh
# instructions.sh - count the instructions of the hot paths with callgrind and compare with what is kept in
# instructions.txt: more than a tenth over it fails, more than a tenth under it asks for new numbers.
# Usage: instructions.sh BUILDTYPE CURETRACE GENERATE FOLDER [keep]      "keep" writes instructions.txt anew
# The counts are of gcc 12, SQLite 3.40 and glibc 2.36 on x86-64; elsewhere keep your own before you compare.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
buildtype=$1 curetrace=$2 generate=$3 folder=$4 keep=${5:-}
if ! command -v valgrind >/dev/null; then
    echo "skipped: there is no valgrind here"
    exit 77
fi
if [ "$buildtype" != release ]; then
    echo "skipped: the counts are of a folder set up with --buildtype=release, this one is $buildtype"
    exit 77
fi
if readelf -l "$curetrace" | grep -q INTERP; then
    echo "skipped: the counts are of a program in one file (-Dprefer_static=true)"
    exit 77
fi
mkdir -p "$folder"
cd "$folder"
rm -f before.sqlite notebook.sqlite
"$generate" readings 100 100 >readings.csv
"$generate" commands 100 >commands
while read -r line; do
    eval "\"$curetrace\" $line --notebook before.sqlite" >/dev/null 2>&1 </dev/null
done <commands

# count NAME ARGUMENT ... prints "NAME COUNT" in millions.
count() {
    name=$1
    shift
    valgrind --tool=callgrind --callgrind-out-file=callgrind.out "$curetrace" "$@" --notebook notebook.sqlite \
        >/dev/null 2>log </dev/null || { cat log; exit 1; }
    sed -n 's/^.*Collected : \([0-9]*\).*$/\1/p' log | awk -v name="$name" '{ printf "%s %.1f\n", name, $1 / 1e6 }'
}
cp before.sqlite notebook.sqlite
{
    count import-10000-readings import readings readings.csv
    count verdict-of-one verdict B-00050
    count trend-csv-of-one trend B-00050 --csv
    count trend-csv-of-all trend --all-batches --csv
    count trend-model-of-all trend --all-batches --model --csv
    count verify verify
    count recipe-1000000-draws recipe --fat "olive oil=500" --fat "coconut oil=250" --lye "naoh=104.5@98.5%" \
        --readability-g 1 --draws 1000000
} >counts
if [ "$keep" = keep ]; then
    { sed -n '/^#/p' "$here/instructions.txt" 2>/dev/null || true; cat counts; } >kept
    cp kept "$here/instructions.txt"
fi
awk '
    /^#/ { next }
    FNR == NR { kept[$1] = $2; next }
    { ratio = $2 / kept[$1]; word = ratio > 1.1 ? "MORE: look why" : ratio < 0.9 ? "fewer: keep the new count" : ""
      printf "%-24s %9.1f million instructions, kept %9.1f  %s\n", $1, $2, kept[$1], word
      bad += ratio > 1.1 }
    END { exit bad > 0 }
' "$here/instructions.txt" counts
