#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Compares the sample season's answer with the one that README.md shows: season_test.sh PROGRAM FOLDER. The tables are
# what their script writes. After a change that is meant: season_test.sh PROGRAM FOLDER accept
set -eu
root="$(dirname "$0")/../.."
rm -rf "$2/season" && mkdir -p "$2/season/tables"
if command -v python3 >/dev/null; then
  python3 "$root/samples/season/make_season.py" "$2/season/tables"
  for table in "$2"/season/tables/*.csv; do cmp "$table" "$root/samples/season/$(basename "$table")"; done
fi
"$root/samples/season.sh" "$1" "$2/season/ledger.sqlite" > "$2/season/answer.txt"
if [ "${3:-}" = accept ]; then
  awk -v answer="$2/season/answer.txt" '
    /^```$/ { inside = 0 }
    !inside
    /^```text season$/ { inside = 1; while ((getline line < answer) > 0) print line }' "$root/README.md" > "$2/season/README.md"
  cat "$2/season/README.md" > "$root/README.md"
fi
sed -n '/^```text season$/,/^```$/p' "$root/README.md" | sed '1d;$d' | diff - "$2/season/answer.txt"
