#!/bin/sh
# run.sh PROGRAM WORKSHOP - opens reports of an invented notebook in a browser (report.test.mjs).
# Ends with 77, "skipped", where Node.js, its packages or chromium are missing; tests/run.sh installs them.
# REPORT_PICTURES=FOLDER keeps the screenshots and PDFs.
set -eu
program=$(realpath "$1") workshop=$(realpath "$2")
cd "$(dirname "$0")"

for needed in node chromium pdftotext; do
    command -v "$needed" >/dev/null || { echo "skipped: $needed is not installed"; exit 77; }
done
[ -d node_modules/playwright-core ] || { echo "skipped: run 'npm ci' in tests/browser first"; exit 77; }

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
export CURETRACE_NOTEBOOK="$folder/notebook.sqlite"
trace() { "$program" "$@" >"$folder/said" 2>&1 || { cat "$folder/said"; exit 1; }; }

# The workshop's lines are what a person types, so the shell splits them.
grep -v -e '^#' -e '^$' "$workshop" | while IFS= read -r line; do
    eval "trace $line"
done

# A bar that was handled in every way there is, under names no page should trip over.
long=$(printf '%010000d' 0)
trace batch add '<b>"x"&' --made 2026-03-02 --title '<script>alert(1)</script>`"' --note "$long" \
    --fat 'olive oil=500' --lye 'naoh=75@98%' --other "$(printf 'oats\n\342\200\256=3')"
trace read '<b>"x"&' --meter bench --at 2026-06-30T12:00 --percent 1 --temperature-c 30 --ph 11.4 --ph 11.5 \
    --bar '<i>A</i>' --note "it's" --paper strips --between 10..11
trace titrate '<b>"x"&' --soap-g 10 --volume-ml 6 --acid-mol-l 0.1 --note '&amp;' --at 2026-07-01T12:00
trace batch release '<b>"x"&' --override --why '</td><script>alert(2)</script>'

trace report O-01 --output "$folder/oat.html"
trace report P-01 L-01 '<b>"x"&' --output "$folder/three.html"
trace maker 'the old mill & sons (invented)' --contact 'mill lane 3'
trace report O-01 P-01 L-01 --summary --output "$folder/summaries.html"
trace report --notebook-index --records --output "$folder/index.html"
REPORT_PAGES="$folder/oat.html:$folder/three.html:$folder/summaries.html:$folder/index.html" node --test report.test.mjs
