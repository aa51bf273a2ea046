#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Compares the demo's whole answer with the one that README.md shows: demo_test.sh PROGRAM FOLDER. The bold numbers of the
# paragraphs that read it aloud must stand in it, too.
# After a change that is meant: tests/cli/accept_demo.sh
set -eu
root="$(dirname "$0")/../.."
rm -rf "$2/demo"
BRAIRD="$1" BRAIRD_DEMO_FOLDER="$2/demo" "$root/samples/demo.sh" > "$2/demo_answer.txt"
test -s "$2/demo/plug-128-brassica-marked.jpg"
sed -n '/^```text demo$/,/^```$/p' "$root/README.md" | sed '1d;$d' | diff - "$2/demo_answer.txt"

awk '/^## Install$/ { exit } /^Read aloud:$/ { aloud = 1 } aloud' "$root/README.md" |
  grep -o '\*\*[^*]*\*\*' | grep -o '[0-9][0-9]*' > "$2/said_aloud.txt"
while read -r number; do
  grep -qw "$number" "$2/demo_answer.txt" || { echo "README.md reads $number aloud, the answer doesn't have it" && exit 1; }
done < "$2/said_aloud.txt"
test "$(wc -l < "$2/said_aloud.txt")" -ge 8
