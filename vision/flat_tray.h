// SPDX-License-Identifier: Apache-2.0
// The tray laid flat: cells of `cell` px in line, whatever the camera's place and lens.
//
//   px 0    cell     2 cell                    cell (row, col) of a square lattice has its centre at
//   +---------+---------+---                   cell * (col + 1, row + 1); odd rows of a staggered one
//   |  one cell of margin                      are shifted by half a cell more or less.
//   |         +---o---+---o---
#pragma once

#include <opencv2/core.hpp>

#include "vision/geometry.h"

namespace braird::vision {

constexpr int kCountedCell = 72;       ///< px a cell where seedlings are counted
constexpr int kSeedsCell = 96;         ///< px a cell where seeds are counted
constexpr int kSeedsCellOfLarge = 64;  ///< the same on large trays
constexpr int kCoarseCell = 48;        ///< px a cell where plants are only told from what bears them

struct FlatTray {
  int cell = kCountedCell;  ///< px a cell
  cv::Mat bgr;   ///< 8-bit, cell * (cols + 1) (half a cell more if staggered) by cell * (rows + 1) px
  cv::Mat lean;  ///< 32-bit float, 2 channels, six values a cell each way (four of 64 px): which way plants
                 ///< appear to lean, in tray axes, as a share of the photo's half diagonal
};

/// `cell`: px a cell, a multiple of 12, or 64.
FlatTray lay_flat(const cv::Mat& bgr, const Lattice& lattice, int cell);

/// The px of such a flat tray at which a cell's middle lies.
cv::Point flat_middle(const Lattice& lattice, int row, int col, int cell);

/// How far plants appear to lean at a px of the flat tray.
cv::Vec2f lean_at(const FlatTray& flat, cv::Point px);

}  // namespace braird::vision
