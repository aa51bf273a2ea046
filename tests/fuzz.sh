#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# tests/fuzz.sh MINUTES [TARGET...]: fuzzes each target (all that have a seed in tests/fuzz/corpus if none is named) for so many minutes,
# one after another, with clang's libFuzzer and the address and undefined-behaviour sanitizers. What is found grows
# build-fuzz/corpus; an input that crashes lies in build-fuzz/crashes: mend the fault, then put the input into
# tests/fuzz/corpus/TARGET, where a test replays it from then on. Exits with 1 if any target crashed.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh
minutes="${1:?tests/fuzz.sh MINUTES [TARGET...]}"
shift
# shellcheck disable=SC2046  # names
[ $# -gt 0 ] || set -- $(ls tests/fuzz/corpus)
command -v clang++-14 >/dev/null || { echo "fuzzing needs clang: apt-get install clang-14" >&2; exit 1; }
build_in build-fuzz fuzz -DCMAKE_CXX_COMPILER=clang++-14 -DCMAKE_C_COMPILER=clang-14 -DBRAIRD_WERROR=OFF \
  -DBRAIRD_FUZZ=ON -DBRAIRD_SANITIZE=ON -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g1"

failed=0
for target in "$@"; do
  found="build-fuzz/corpus/$target" crashes="build-fuzz/crashes/$target"
  mkdir -p "$found" "$crashes"
  echo "== $target, $minutes minutes"
  BRAIRD_FUZZ="$target" ASAN_OPTIONS=detect_leaks=0:quarantine_size_mb=16 nice -n 19 build-fuzz/tests/fuzz/fuzz -max_total_time=$((minutes * 60)) \
    -timeout=120 -rss_limit_mb=4096 -max_len=200000 -print_final_stats=1 -artifact_prefix="$crashes/" \
    "$found" "tests/fuzz/corpus/$target" >"build-fuzz/$target.log" 2>&1 || failed=1
  grep -E "^stat::number_of_executed_units|^SUMMARY|^==.*ERROR|runtime error|cov: .*DONE|^#[0-9]+.DONE" "build-fuzz/$target.log" || true
done
exit $failed
