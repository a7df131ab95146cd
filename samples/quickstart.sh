#!/bin/sh
# quickstart.sh - from a bare Debian 12 to the whole job done on the invented workshop:
# installs what is missing, builds into build/ and leaves notebook, CSV and plots in build/demo/.
set -eu
cd "$(dirname "$0")/.."

sh samples/need.sh gcc libc6-dev meson ninja-build pkg-config libsqlite3-dev libcsv-dev libgsl-dev \
    libinih-dev libsodium-dev gnuplot-nox fonts-dejavu-core lowdown

[ -f build/build.ninja ] || meson setup build >/dev/null
ninja -C build >/dev/null || {
    ninja -C build # once more, to show what is wrong
    exit 1
}
rm -rf build/demo # made by this script alone
build/curetrace demo build/demo
