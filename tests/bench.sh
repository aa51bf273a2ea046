#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# How fast does counting go? tests/bench.sh [REPEATS] builds, makes the photos in build/bench, measures, and prints the tables
# of DEVELOPERS.md. Needs, beside samples/packages.txt: libopencv-imgcodecs-dev python3-opencv python3-skimage.
set -eu
cd "$(dirname "$0")/.."
. samples/setup.sh
install_packages
build_in build braird
build_in build paint_trays
# shellcheck disable=SC2046  # flags
g++ -O2 -w tests/bench/decode_only.cpp -o build/decode_only -I/usr/include/opencv4 -lopencv_imgcodecs -lopencv_core
# painted NAME SEED [SHARES]: a photo of which there is no sample
painted() {
  [ ! -f "build/bench/$1.jpg" ] || return 0
  mkdir -p build/bench
  # shellcheck disable=SC2086  # options
  build/samples/painter/paint_trays --out build/bench --first "$2" --count 1 --width 2400 ${3:-}
  mv "build/bench/s$2.jpg" "build/bench/$1.jpg"
  mv "build/bench/s$2.truth.json" "build/bench/$1.truth.json"
}
painted few 9300090  # nothing came up
painted off-list 9300126 "--several-trays-share 0 --ordinary-share 1"
painted seeds 576000038 "--seeds-share 0.87 --several-trays-share 0.2"
photos=samples/photos
[ -f build/bench/off-list-48.jpg ] || /usr/bin/python3 tests/bench/make_photos.py build/bench $photos/plug-128-brassica.jpg \
  $photos/paper-chain-264-beet.jpg $photos/paper-chain-264-brassica.jpg build/bench/few.jpg \
  build/bench/off-list.jpg build/bench/seeds.jpg
exec /usr/bin/python3 tests/bench/measure.py build "${1:-7}"
