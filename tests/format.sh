#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Checks the form of files, or mends it with --fix: tests/format.sh [--fix] [FILE...]; without files, of all that git knows.
# C++ by clang-format, shell scripts by shellcheck; all text by its line ends, blanks at ends, and its SPDX line.
# A tool that is missing is named, and what it checks left out.
set -eu
cd "$(dirname "$0")/.."
mode=check
[ "${1:-}" = --fix ] && mode=fix && shift
list=$(mktemp)
trap 'rm -f "$list"' EXIT
if [ $# -gt 0 ]; then printf '%s\n' "$@"; else git ls-files; fi |
  while IFS= read -r file; do [ ! -f "$file" ] || echo "$file"; done |
  grep -vE '\.(jpg|png|webp|tiff?|heic|safetensors|bin)$|^tests/fuzz/|^LICENSE$' >"$list" || exit 0

# On the files whose names match $1, runs the rest of the command.
on() {
  pattern="$1"
  shift
  grep -E "$pattern" "$list" | tr '\n' '\0' | xargs -0 -r "$@"
}
trouble=0
# Names the files that the last command printed, if any, with what is wrong.
complain_of() {
  [ -z "$1" ] && return
  echo "$1" | sed "s/\$/: $2/" >&2
  trouble=1
}
has() {
  command -v "$1" >/dev/null || { echo "$1 is not installed; what it checks is left out" >&2 && return 1; }
}

[ $mode = check ] || on . sed -i 's/[[:blank:]\r]*$//'
complain_of "$(on . grep -lE '[[:blank:]]$')" "blanks at the end of a line"
complain_of "$(on . grep -l "$(printf '\r')")" "line ends of another system"
complain_of "$(on '\.(cpp|h|sh|py|cmake)$|CMakeLists.txt$' grep -L 'SPDX-License-Identifier: Apache-2.0')" "no SPDX line"
if has clang-format; then
  [ $mode = check ] || on '\.(cpp|h)$' clang-format -i
  complain_of "$(on '\.(cpp|h)$' clang-format --dry-run 2>&1 | sed -n 's/^\([^:]*\):.*\[-W.*/\1/p' | sort -u)" \
    "not as clang-format has it; tests\/format.sh --fix mends it"
fi
if has shellcheck; then
  on '\.sh$|^\.ci/run$|^\.githooks/' shellcheck --shell=sh --severity=warning >&2 || trouble=1
fi
exit $trouble
