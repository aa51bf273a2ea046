#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Proves the packages on a bare Debian 12: makes them, installs the program in a fresh root, counts a photo there, reads the
# man page, completes a command, shows what doctor says; then adds the library and builds and runs a ten-line program on it.
# Needs root and debootstrap, and takes Debian's packages from where this machine's apt does. Exits with 77 where it can't.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh

skip() {
  echo "skipped: $1" >&2
  exit 77
}
[ "$(id -u)" -eq 0 ] || skip "needs root, for a root of its own"
command -v debootstrap >/dev/null || skip "needs debootstrap"
mirror=$(apt-get indextargets --format '$(SITE) $(RELEASE)' 'Created-By: Packages' | sed -n 's/ bookworm$//p' | head -n 1)
[ -n "$mirror" ] || skip "apt has no source for Debian 12"

install_packages
build_in build all
(cd build && cpack -G DEB -B packages)

root=$(mktemp -d)
tidy() {
  umount "$root/proc" 2>/dev/null || true
  rm -rf "$root"
}
trap tidy EXIT
debootstrap --variant=minbase --include=ca-certificates bookworm "$root" "$mirror"
# As this machine reaches Debian, so does the root.
for part in apt/sources.list.d apt/apt.conf.d apt/auth.conf.d ssl/certs; do
  [ -d "/etc/$part" ] && mkdir -p "$root/etc/$part" && cp -r "/etc/$part/." "$root/etc/$part/"
done
cp /etc/resolv.conf /etc/hosts "$root/etc/"
mkdir -p "$root/packages"
cp build/packages/*.deb "$root/packages/"
cp -r tests/install/consumer tests/install/in_root.sh "$root/packages/"
mount -t proc proc "$root/proc"
# None of this machine's environment but the way to Debian.
env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin http_proxy="${http_proxy:-}" https_proxy="${https_proxy:-}" \
  chroot "$root" sh /packages/in_root.sh
echo "The packages install, run and link on a bare Debian 12."
