// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/geometry.h"

namespace braird::vision {

/// Rows of twelve cells, 60 px apart, seen askew.
inline Lattice small_tray(double odd_row_shift = 0, int rows = 10) {
  Lattice lattice;
  lattice.rows = rows;
  lattice.cols = 12;
  lattice.odd_row_shift = odd_row_shift;
  lattice.photo_from_plane = cv::Matx33d(60, 4, 90, -3, 58, 110, 2e-5, 1e-5, 1);
  lattice.lens = {{450, 350}, 570, 0.02};
  return lattice;
}

}  // namespace braird::vision
