#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Trains the networks from nothing: train.sh FOLDER MINUTES
# Paints scenes on all processors into FOLDER for as long as that takes (build/samples/painter/paint_trays), trains each
# network for MINUTES while more come in, measures it on every tenth scene, and puts their files into vision/models/.
# The lattice's two, the trays' ends and their seams are trained last, when most scenes are there. Needs Python with torch, numpy and OpenCV; an accelerator
# is used where torch finds one.
set -eu
mkdir -p "$1/arrays" "$1/days"
folder="$(realpath "$1")" minutes="$2" root="../.."
cd "$(dirname "$0")"
rm -f "$folder/enough"
trap 'touch "$folder/enough"' EXIT INT TERM
job=0
while [ "$job" -lt "$(getconf _NPROCESSORS_ONLN)" ]; do
  nice ./paint_more.sh "$folder" $((job * 1000000 + 1)) >/dev/null &
  job=$((job + 1))
done
for network in counts coming_up seeds lattice lattice_closer ends seams; do
  if [ "$network" = ends ] || [ "$network" = seams ]; then
    python3 "train_$network.py" "$folder/arrays" "$folder/$network.pt" "$minutes" | tee "$folder/$network.log"
  elif [ "$network" = lattice ]; then
    python3 train_lattice.py "$folder/arrays" "$folder/$network.pt" "$minutes" | tee "$folder/$network.log"
  elif [ "$network" = lattice_closer ]; then
    python3 train_lattice.py "$folder/arrays" "$folder/$network.pt" "$minutes" "$network" "$folder/lattice.pt" | tee "$folder/$network.log"
  elif [ "$network" = coming_up ]; then
    python3 train_counts.py "$folder/days" "$folder/coming_up.pt" "$minutes" counts "$folder/counts.pt" | tee "$folder/coming_up.log"
  else
    python3 train_counts.py "$folder/arrays" "$folder/$network.pt" "$minutes" "$network" | tee "$folder/$network.log"
  fi
  kind="$network"
  [ "$network" != coming_up ] || kind=counts
  if [ "$network" = seeds ]; then
    python3 train_closer.py "$folder/arrays" "$folder/seeds.pt" "$folder/closer.pt" "$minutes" seeds | tee "$folder/closer.log"
    python3 export_closer.py seeds "$folder/closer.pt" "$root/vision/models/seeds.safetensors" "$folder/arrays" \
      "minutes=$minutes" "held_out=$(tail -n 1 "$folder/closer.log")"
    python3 teach_large.py "$folder/arrays" "$root/vision/models/seeds.safetensors" "$folder/large.pt" "$minutes" | tee "$folder/large.log"
    python3 export_closer.py seeds_large_tray "$folder/large.pt" "$root/vision/models/seeds_large_tray.safetensors" "$folder/arrays" \
      "minutes=$minutes" "held_out=$(tail -n 1 "$folder/large.log")"
    continue
  fi
  python3 export.py "$kind" "$folder/$network.pt" "$root/vision/models/$network.safetensors" \
    "minutes=$minutes" "held_out=$(tail -n 1 "$folder/$network.log")"
  case "$network" in
    counts) python3 reach.py "$root/vision/models/counts.safetensors" "$folder/arrays" counts ;;
    ends | seams) python3 reach.py "$root/vision/models/$network.safetensors" "$folder/arrays" "$network" ;;
    coming_up) python3 reach.py "$root/vision/models/$network.safetensors" "$folder/days" counts ;;
  esac
done
