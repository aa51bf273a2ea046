#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# How many lines do the tests run? Builds in build-coverage, runs the tests there (or only those that match the regular
# expression given), and prints the share for calibration/, which must be 90 % or more, and for the rest, 80 %.
# Exits with 77 where there is no gcovr.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh
command -v gcovr >/dev/null || { echo "skipped: gcovr is not installed" >&2 && exit 77; }

build_in build-coverage all -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG="-O0 --coverage -fprofile-abs-path"
find build-coverage -name '*.gcda' -delete
# Code without optimising is slow: what is timed may fail here, and says nothing of coverage.
ctest --test-dir build-coverage --parallel "$(nproc)" --output-on-failure --tests-regex "${1:-.}" >&2 || true
trouble=0
# room NAME LEAST PATTERN...: prints the share of lines, by file where it is low, and compares it.
room() {
  name="$1" least="$2"
  shift 2
  echo "== $name: at least $least %"
  gcovr --root . --object-directory build-coverage "$@" --exclude-throw-branches --fail-under-line "$least" \
    --gcov-ignore-parse-errors build-coverage || trouble=1
}
room calibration 90 --filter 'calibration/'
room "cli and vision" 80 --filter 'cli/' --filter 'vision/'
exit $trouble
