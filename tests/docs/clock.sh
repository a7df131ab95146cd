# clock.sh - the evening in the workshop at which pages are written and tested, whatever day it is. To be sourced.
# A sanitizer minds that something is loaded before it: libfaketime is.
evening='2026-07-12 18:00:00' # the workshop's last test is of 2026-06-30, the pages go on from there
export ASAN_OPTIONS=verify_asan_link_order=0 FAKETIME_DONT_FAKE_MONOTONIC=1
