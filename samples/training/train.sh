#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Trains both networks from nothing: train.sh FOLDER SCENES MINUTES
# Paints SCENES scenes into FOLDER with build/samples/painter/paint_trays, trains each network for MINUTES, measures it on
# every tenth scene, and puts the two ONNX files into vision/models/. Needs Python with torch, onnx, numpy and OpenCV; an
# accelerator is used where torch finds one.
set -eu
cd "$(dirname "$0")"
folder="$1" scenes="$2" minutes="$3" root="../.."
jobs="$(getconf _NPROCESSORS_ONLN)"
mkdir -p "$folder/scenes" "$folder/arrays"
"$root/build/samples/painter/paint_trays" --out "$folder/scenes" --first 1 --count "$scenes" --width 0 --jobs "$jobs"
python3 prepare.py "$folder/scenes" "$folder/arrays" "$jobs"
for network in lattice counts; do
  python3 "train_$network.py" "$folder/arrays" "$folder/$network.pt" "$minutes" | tee "$folder/$network.log"
  python3 export.py "$network" "$folder/$network.pt" "$root/vision/models/$network.onnx" \
    "scenes=$scenes" "first_seed=1" "minutes=$minutes" "held_out=$(tail -n 1 "$folder/$network.log")"
done
