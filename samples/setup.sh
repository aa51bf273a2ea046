# SPDX-License-Identifier: Apache-2.0
# For scripts that run in the project's root: what a bare Debian 12 lacks, and how to build. All they say goes to standard
# error, so that a script's own output stays clean.

# Installs those Debian packages that are missing, of samples/packages.txt and of the LISTS given; needs root or sudo only
# if some are: install_packages [LIST...].
install_packages() {
  missing=""
  for package in $(cat samples/packages.txt "$@"); do
    dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q '^install ok installed' || missing="$missing $package"
  done
  [ -z "$missing" ] && return
  echo "Installing:$missing" >&2
  as_root=""
  [ "$(id -u)" -eq 0 ] || as_root="sudo"
  {
    $as_root apt-get update -q
    # shellcheck disable=SC2086  # a list of packages
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
  } >&2
}

# Builds TARGET in FOLDER: build_in FOLDER TARGET [CMAKE OPTION...]. Quick where nothing has changed.
build_in() {
  folder="$1" target="$2"
  shift 2
  launcher=""
  command -v ccache >/dev/null && launcher="-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"
  [ -f "$folder/build.ninja" ] || cmake -G Ninja -B "$folder" -DBRAIRD_WERROR=ON -DBRAIRD_HEIC=ON $launcher "$@" >&2
  cmake --build "$folder" --target "$target" >&2
}
