#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Counts a sample photo as a grower would: installs what is missing, builds, runs. With BRAIRD set to a built program, only
# runs it. The answer goes to standard output, all else to standard error.
#
# The story is made up: on 2 April, Tarnholt Farm sowed the beet lot "Rowan 12" in a paper chain, two seeds a cell, and
# photographed the tray nine days later.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh

if [ -z "${BRAIRD:-}" ]; then
  install_packages
  build_in build braird
  BRAIRD=build/cli/braird
fi

marked="${BRAIRD_DEMO_FOLDER:-build/demo}"
"$BRAIRD" count --tray paper-chain-264 --crop beet --seeds 2 --lot "Rowan 12" --sown 2026-04-02 --taken 2026-04-11 \
  --marked "$marked" samples/photos/paper-chain-264-beet.jpg
echo "The marked photo: $marked/paper-chain-264-beet-marked.jpg" >&2
