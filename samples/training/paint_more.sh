#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Paints scene after scene, and after each dozen two trays on four days, and prepares them for training, until FOLDER/enough
# exists: paint_more.sh FOLDER FIRST_SEED
# Several may run at once, with seeds of their own.
set -eu
folder="$(realpath "$1")" seed="$2"
cd "$(dirname "$0")"
scenes="$folder/scenes-$seed"
while [ ! -e "$folder/enough" ]; do
  mkdir -p "$scenes"
  ../../build/samples/painter/paint_trays --out "$scenes" --first "$seed" --count 12 --width 0 --jobs 1 --seeds-share 0.2 --careful-share 0.65 --ordinary-share 0.6 --across-share 0.3
  python3 prepare.py "$scenes" "$folder/arrays" 1
  rm -r "$scenes"
  ../../build/samples/painter/paint_trays --out "$scenes" --first "$seed" --count 2 --width 0 --jobs 1 --careful-share 0.7 --ordinary-share 0.6 --days
  python3 prepare.py "$scenes" "$folder/days" 1 all
  rm -r "$scenes"
  seed=$((seed + 12))
done
