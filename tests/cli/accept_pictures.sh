#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Takes the pictures of the report that README.md shows anew: accept_pictures.sh [PROGRAM]. Needs Chromium and its driver.
set -eu
cd "$(dirname "$0")/../.."
python3 tests/cli/page/pictures.py "$(realpath "${1:-build/cli/braird}")" "$PWD"
