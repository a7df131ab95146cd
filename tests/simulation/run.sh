#!/bin/sh
# run.sh - the whole simulation: 2000 rounds a cell on an optimised build, its tables to the screen and, with --keep,
# into docs/method.md between the lines that mark them. Goals that are missed are named, and it goes on. Some minutes.
set -eu
cd "$(dirname "$0")/../.."
build=${BUILD:-build-simulation}
[ -f "$build/build.ninja" ] || meson setup "$build" --buildtype=release >/dev/null
ninja -C "$build" tests/test_simulation >/dev/null
tables=$(mktemp)
trap 'rm -f "$tables"' EXIT
for module in cures pairs coverage decision at_bound free_alkali titrations; do
    SOURCE_ROOT=$PWD SIMULATION_ROUNDS="${SIMULATION_ROUNDS:-2000}" "$build/tests/test_simulation" "simulation/$module" |
        tee /dev/stderr | grep '^|' >"$tables.$module" || true
done
for module in cures pairs coverage decision at_bound free_alkali titrations; do
    if [ "${1:-}" = --keep ]; then
        awk -v table="$tables.$module" -v mark="simulation: $module" '
            index($0, "<!-- " mark " -->") { print; while ((getline line < table) > 0) print line; skip = 1; next }
            index($0, "<!-- end -->") { skip = 0 }
            !skip { print }' docs/method.md >"$tables" && cp "$tables" docs/method.md
    fi
    rm -f "$tables.$module"
done
