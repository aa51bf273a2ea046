#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# The part of tests/install.sh that runs inside the fresh root.
set -eu
export DEBIAN_FRONTEND=noninteractive HOME=/root LC_ALL=C.UTF-8
photo=/usr/share/doc/braird/examples/plug-128-brassica.jpg

apt-get update -q
apt-get install -q -y --no-install-recommends /packages/braird_*.deb
[ ! -e /usr/lib/x86_64-linux-gnu/cmake/braird ] # the program alone brings no libraries to build with

cd /tmp
braird count --tray plug-128 --crop kale --seeds 1 --sown 2026-04-02 --taken 2026-04-09 --marked marked "$photo" | tee said
grep -q '128 cells' said
[ -s marked/plug-128-brassica-marked.jpg ]
braird count --keep --lot "Rowan 12" --tray plug-128 --crop kale --seeds 1 --sown 2026-04-02 --taken 2026-04-09 "$photo" >said
braird lots | grep -q 'Rowan 12'
braird doctor || [ $? -eq 1 ] # a bare system has no fonts
apt-get install -q -y --no-install-recommends libheif1
{ braird doctor || true; } | grep -q 'HEIC too'
[ -s /usr/share/doc/braird/copyright ]

apt-get install -q -y --no-install-recommends man-db bash-completion
man braird | col -b >page
grep -q 'count the seedlings' page
grep -q -e '--germination' page
[ -s /usr/share/zsh/vendor-completions/_braird ] && [ -s /usr/share/fish/vendor_completions.d/braird.fish ]
bash -c '. /usr/share/bash-completion/completions/braird
  COMP_WORDS=(braird co) COMP_CWORD=1; _braird; [ "${COMPREPLY[*]}" = count ]'

apt-get install -q -y --no-install-recommends g++ cmake ninja-build /packages/libbraird-dev_*.deb
cmake -G Ninja -S /packages/consumer -B /tmp/consumer
cmake --build /tmp/consumer
/tmp/consumer/consumer "$photo"
apt-get remove -q -y braird libbraird-dev >/dev/null
[ ! -e /usr/bin/braird ] && [ ! -e /usr/share/man/man1/braird.1.gz ]
[ -s "$HOME/.local/share/braird/ledger.sqlite" ] # what was kept stays
