#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# tests/format.sh passes a file in order, names one that is not, and mends it: format_test.sh FOLDER (where to work).
set -eu
form="$(dirname "$0")/format.sh"
mkdir -p "$1"
file="$1/sample.cpp"

printf '// SPDX-License-Identifier: Apache-2.0\nint sown() { return 1; }\n' >"$file"
"$form" --fix "$file"
"$form" "$file"

fails() {
  if said=$("$form" "$file" 2>&1); then echo "passed: $1" && exit 1; fi
  case "$said" in *"$1"*) ;; *) echo "did not say: $1; but: $said" && exit 1 ;; esac
}
printf 'int sown;\n' >"$file" && fails "no SPDX line"
printf '// SPDX-License-Identifier: Apache-2.0\nint sown;\r\n' >"$file" && fails "line ends"
printf '// SPDX-License-Identifier: Apache-2.0\nint sown; \n' >"$file" && fails "blanks at the end"
"$form" --fix "$file"
"$form" "$file"
if command -v clang-format >/dev/null; then
  printf '// SPDX-License-Identifier: Apache-2.0\nint   sown ;\n' >"$file" && fails "clang-format"
fi
file="$1/sample.sh"
if command -v shellcheck >/dev/null; then
  printf '#!/bin/sh\n# SPDX-License-Identifier: Apache-2.0\ncd $1\n' >"$file" && fails "SC2164"
fi
