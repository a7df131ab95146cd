#!/bin/sh
# run.sh - build an optimised program in build-bench/ and run the benchmark there. Installs nothing.
# Usage: sh tests/bench/run.sh [RUNS]     the table is also written to build-bench/tests/bench/data/benchmark.csv
set -eu
cd "$(dirname "$0")/../.."
[ -f build-bench/build.ninja ] || meson setup build-bench --buildtype=release -Dprefer_static=true >/dev/null
ninja -C build-bench curetrace tests/bench/generate tests/bench/answers tests/bench/bench >/dev/null
build-bench/tests/bench/bench build-bench/curetrace build-bench/tests/bench/generate \
    build-bench/tests/bench/answers tests/bench build-bench/tests/bench/data "$@"
