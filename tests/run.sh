#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# What must pass, in order of cost: the form of all files; a build with warnings as errors, the quick tests, the slow ones;
# then a build with address and undefined-behaviour sanitizers, and the tests once more.
# Installs what is missing on a bare Debian 12. Exits with 0 only if all passed.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh

run_tests() {
  folder="$1"
  shift
  ctest --test-dir "$folder" --output-on-failure --parallel "$(nproc)" "$@"
}

install_packages tests/packages.txt
tests/format.sh
build_in build all -DBRAIRD_BY_THE_DOZEN=ON
run_tests build --label-exclude slow
run_tests build --label-regex slow
# Sanitized code runs several times slower; light optimising gives some of that back.
build_in build-sanitized all -DBRAIRD_SANITIZE=ON -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g1"
export LSAN_OPTIONS="suppressions=$PWD/tests/leaks.supp"
run_tests build-sanitized
