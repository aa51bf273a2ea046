#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Compares the demo's whole answer with the one kept here: demo_test.sh PROGRAM FOLDER. After a change that is meant:
#   BRAIRD=build/cli/braird samples/demo.sh > tests/cli/demo_answer.txt
set -eu
here="$(dirname "$0")"
rm -rf "$2/demo"
BRAIRD="$1" BRAIRD_DEMO_FOLDER="$2/demo" "$here/../../samples/demo.sh" > "$2/demo_answer.txt"
diff "$here/demo_answer.txt" "$2/demo_answer.txt"
test -s "$2/demo/paper-chain-264-beet-marked.jpg"
