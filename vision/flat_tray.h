// SPDX-License-Identifier: Apache-2.0
// The tray laid flat: cells of 48 px in line, whatever the camera's place and lens.
//
//   px 0     48         96                     cell (row, col) of a square lattice has its centre at
//   +---------+---------+---                   (48 (col + 1), 48 (row + 1)); odd rows of a staggered one
//   |  one cell of margin                      are shifted by 24 px more or less.
//   |         +---o---+---o---
#pragma once

#include <opencv2/core.hpp>

#include "vision/geometry.h"

namespace braird::vision {

constexpr int kFlatCell = 48;  ///< px a cell
constexpr int kFlatSide = 8;   ///< px of the flat tray a cell of `lean`

struct FlatTray {
  cv::Mat bgr;   ///< 8-bit, 48 (cols + 1) (+ 24 if staggered) by 48 (rows + 1) px
  cv::Mat lean;  ///< 32-bit float, 2 channels, 1/8 of the size: which way plants appear to lean, in tray
                 ///< axes, as a share of the photo's half diagonal
};

FlatTray lay_flat(const cv::Mat& bgr, const Lattice& lattice);

}  // namespace braird::vision
