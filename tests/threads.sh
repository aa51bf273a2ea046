#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# The quick tests under the thread sanitizer: tests/threads.sh [REGEX]. Half an hour to build.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh
build_in build-threads all -DCMAKE_BUILD_TYPE=RelWithDebInfo -DBRAIRD_SANITIZE_THREADS=ON
# Left out: what is timed, and what other compilers or a browser build and run without the sanitizer.
TSAN_OPTIONS="history_size=7 suppressions=$PWD/tests/threads.supp" ctest --test-dir build-threads --output-on-failure \
  --parallel "$(nproc)" --label-exclude slow --exclude-regex "installed_package|in_browser|speed" --tests-regex "${1:-.}"
