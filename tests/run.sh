#!/bin/sh
# run.sh - installs what the tests need, builds with every warning and sanitizer on, runs all of them.
# Its last line is "N passed, N failed": test functions, not programs.
set -eu
cd "$(dirname "$0")/.."

sh samples/need.sh gcc libc6-dev meson ninja-build pkg-config libsqlite3-dev libcsv-dev libgsl-dev \
    libinih-dev libsodium-dev libcmocka-dev gnuplot-nox fonts-dejavu-core lowdown sqlite3 bash \
    faketime poppler-utils clang libclang-rt-14-dev clang-format clang-tidy locales-all

# Reports are looked at in a browser. Node.js may have come with an npm of its own.
command -v npm >/dev/null || sh samples/need.sh nodejs npm
command -v chromium >/dev/null || sh samples/need.sh chromium
[ tests/browser/node_modules/.package-lock.json -nt tests/browser/package-lock.json ] ||
    npm ci --prefix tests/browser --ignore-scripts --no-audit --no-fund --loglevel=error

[ -f build-test/build.ninja ] ||
    meson setup build-test -Db_sanitize=address,undefined -Dwerror=true >/dev/null
ninja -C build-test >build-test/build.log || { cat build-test/build.log; exit 1; }

status=0
meson test -C build-test --print-errorlogs || status=1
cp build-test/meson-logs/testlog.txt build-test/tests.log

# Once more where i is no small I, and where a comma is the decimal point, what reads or writes words and numbers.
for other in tr_TR.UTF-8 de_DE.UTF-8; do
    LC_ALL=$other TEST_LOCALE=$other \
        meson test -C build-test --no-suite slow --no-suite science --no-suite simulation \
            --no-suite fuzz --print-errorlogs >"build-test/$other.log" 2>&1 ||
        { grep -E 'FAIL|TIMEOUT' "build-test/$other.log"; echo "fails under $other"; status=1; }
done

# The same with clang, which warns about other things; its programs are not run.
[ -f build-clang/build.ninja ] ||
    CC=clang meson setup build-clang -Dwerror=true -Db_lundef=false >/dev/null
ninja -C build-clang >build-clang/build.log || { cat build-clang/build.log; status=1; }

# What .clang-tidy asks for, over the program's own files; a finding fails.
run-clang-tidy-14 -quiet -p build-clang '^(?!.*/build).*/src/.*\.c$' >build-clang/tidy.log 2>/dev/null || {
    grep -A3 -E 'warning:|error:' build-clang/tidy.log
    status=1
}

# And as docs/install.md has it, optimised and in one file: gcc follows more then, and warns about more.
[ -f build-release/build.ninja ] ||
    meson setup build-release --buildtype=release -Dprefer_static=true -Dwerror=true >/dev/null
ninja -C build-release curetrace >build-release/build.log || { cat build-release/build.log; status=1; }

# What a letter is, base/text says (text.h), not the locale.
grep -rnE '#include <(ctype|strings)\.h>' src --include='*.c' --exclude-dir=tools && status=1

git ls-files 2>/dev/null '*.[ch]' | xargs -r clang-format-14 --dry-run --Werror || status=1

# A program that ends badly without saying which function failed counts as one that failed, a script
# that ends well as one that passed.
awk '
function close_test() {
    if (name == "") return
    if (result == "exit status 77") return # skipped
    if (result != "exit status 0" && bad == 0) bad = 1
    if (good == 0 && bad == 0) good = 1
    passed += good; failed += bad
}
/^test: /              { close_test(); name = $2; result = ""; good = 0; bad = 0 }
/^result: /            { sub(/^result: +/, ""); result = $0 }
/\[  PASSED  \] [0-9]+ test/ { match($0, /[0-9]+ test/); good += substr($0, RSTART) + 0 }
/\[  FAILED  \] [0-9]+ test/ { match($0, /[0-9]+ test/); bad += substr($0, RSTART) + 0 }
END { close_test(); printf "%d passed, %d failed\n", passed, failed; exit failed > 0 || passed == 0 }
' build-test/tests.log || status=1
exit $status
