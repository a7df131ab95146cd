#!/bin/sh
# renew.sh [PAGE ...] - write what the commands print now into the pages, and the pictures beside them. Look at
# the difference before it is kept: git diff docs README.md
set -eu
source=$(cd "$(dirname "$0")/../.." && pwd)
program=${CURETRACE:-$source/build/curetrace}
exec sh "$source/tests/docs/pages.sh" renew "$program" "$source" "$@"
