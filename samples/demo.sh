#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Counts a sample photo as a grower would: installs what is missing, builds, runs. With BRAIRD set to a built program, only
# runs it. The answer goes to standard output, all else to standard error.
#
# The story is made up: on 2 April, Tarnholt Farm sowed its kale lot "Rowan 12" in a plug tray, one seed a cell, and
# photographed the tray a week later.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh

if [ -z "${BRAIRD:-}" ]; then
  install_packages
  build_in build braird
  BRAIRD=build/cli/braird
fi

marked="${BRAIRD_DEMO_FOLDER:-build/demo}"
"$BRAIRD" count --tray plug-128 --crop kale --seeds 1 --lot "Rowan 12" --sown 2026-04-02 --taken 2026-04-09 \
  --marked "$marked" samples/photos/plug-128-brassica.jpg
echo "The marked photo: $marked/plug-128-brassica-marked.jpg" >&2
