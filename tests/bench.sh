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
[ -f build/bench/few.jpg ] || {  # a tray in which nothing came up, since no sample photo holds one
  mkdir -p build/bench
  build/samples/painter/paint_trays --out build/bench --first 9300090 --count 1 --width 2400
  mv build/bench/s9300090.jpg build/bench/few.jpg
  mv build/bench/s9300090.truth.json build/bench/few.truth.json
}
[ -f build/bench/seeds-12.jpg ] || {
  build/samples/painter/paint_trays --out build/bench --first 576000038 --count 1 --width 4000 --seeds-share 0.87 --several-trays-share 0.2
  mv build/bench/s576000038.jpg build/bench/seeds-12.jpg
  rm build/bench/s576000038.truth.json
}
photos=samples/photos
[ -f build/bench/few-48.jpg ] || /usr/bin/python3 tests/bench/make_photos.py build/bench $photos/plug-128-brassica.jpg \
  $photos/paper-chain-264-beet.jpg $photos/paper-chain-264-brassica.jpg build/bench/few.jpg
exec /usr/bin/python3 tests/bench/measure.py build "${1:-7}"
