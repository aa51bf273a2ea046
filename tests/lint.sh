#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# clang-tidy by .clang-tidy over calibration/, cli/ and vision/, or over the FILES given: tests/lint.sh [FILE...].
# Headers are not precompiled here, so that a file which lacks one is found out. Exits with 77 where there is no clang-tidy.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh
command -v clang-tidy >/dev/null || { echo "skipped: clang-tidy is not installed" >&2 && exit 77; }
[ -f build-lint/build.ninja ] ||
  cmake -G Ninja -B build-lint -DCMAKE_EXPORT_COMPILE_COMMANDS=ON -DBRAIRD_TESTS=OFF >&2
if [ $# -gt 0 ]; then printf '%s\n' "$@"; else git ls-files 'calibration/*.cpp' 'cli/*.cpp' 'vision/*.cpp'; fi |
  xargs -P "$(nproc)" -n 1 clang-tidy -p build-lint --quiet --warnings-as-errors='*'
