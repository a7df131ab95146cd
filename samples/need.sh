#!/bin/sh
# need.sh PACKAGE ... - install the Debian packages that are missing; quick when none is.
set -eu

missing=
for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
        missing="$missing $package"
done
[ -n "$missing" ] || exit 0

root=
if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null || {
        echo "these packages are missing, and only root may install them:$missing" >&2
        exit 1
    }
    root=sudo
fi
echo "installing:$missing"
export DEBIAN_FRONTEND=noninteractive
$root apt-get update -qq
# shellcheck disable=SC2086 # a list of names
$root apt-get install -y -qq --no-install-recommends $missing >/dev/null
