#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Builds with warnings as errors and runs all tests; then the same with address and undefined-behaviour sanitizers.
# Installs what is missing on a bare Debian 12. Exits with 0 only if all passed.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh

run_tests() {
  ctest --test-dir "$1" --output-on-failure --parallel "$(nproc)"
}

install_packages
build_in build all
run_tests build
# Sanitized code runs several times slower; light optimising gives some of that back.
build_in build-sanitized all -DBRAIRD_SANITIZE=ON -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g1"
run_tests build-sanitized
