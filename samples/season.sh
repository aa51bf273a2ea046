#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Shows the made-up season of Tarnholt Farm (samples/season) in a ledger of its own: season.sh PROGRAM LEDGER
set -eu
cd "$(dirname "$0")/.."
"$1" import samples/season --ledger "$2" >&2
echo '$ braird lots'
"$1" lots --ledger "$2"
echo
echo '$ braird lot "Rowan 12" --cells'
"$1" lot "Rowan 12" --cells --ledger "$2"
