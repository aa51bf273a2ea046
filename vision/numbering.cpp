// SPDX-License-Identifier: Apache-2.0
#include "vision/numbering.h"

#include <cmath>

namespace braird::vision {
namespace {

cv::Matx33d turn(double u_from_u, double u_from_v, double u0, double v_from_u, double v_from_v, double v0) {
  return {u_from_u, u_from_v, u0, v_from_u, v_from_v, v0, 0, 0, 1};
}

bool rows_run_across(const Lattice& lattice) {
  const cv::Point2d along = cell_centre(lattice, 0, lattice.cols - 1) - cell_centre(lattice, 0, 0);
  return std::abs(along.x) >= std::abs(along.y);
}

/// How far a numbering's start lies from the upper left; height counts more, as people read line by line.
double lateness(const Lattice& lattice, cv::Size photo) {
  const cv::Point2d start = cell_centre(lattice, 0, 0);
  return start.y / photo.height + 0.6 * start.x / photo.width;
}

}  // namespace

Lattice half_turned(const Lattice& lattice) {
  Lattice result = lattice;
  const int last = lattice.rows - 1;
  result.plane_from_tray = lattice.plane_from_tray *
                           turn(-1, 0, lattice.cols - 1 + lattice.odd_row_shift * (last % 2), 0, -1, last);
  if (lattice.rows % 2 == 1) result.odd_row_shift = -lattice.odd_row_shift;
  return result;
}

Lattice quarter_turned(const Lattice& lattice) {
  Lattice result = lattice;
  result.rows = lattice.cols;
  result.cols = lattice.rows;
  result.plane_from_tray = lattice.plane_from_tray * turn(0, -1, lattice.cols - 1, 1, 0, 0);
  return result;
}

Lattice numbered(Lattice lattice, const Hints& hints, cv::Size photo) {
  if (lattice.odd_row_shift == 0) {
    const bool told = hints.rows && hints.cols && *hints.rows != *hints.cols;
    if (told ? lattice.rows != *hints.rows : !rows_run_across(lattice)) lattice = quarter_turned(lattice);
  }
  const Lattice other = half_turned(lattice);
  return lateness(other, photo) < lateness(lattice, photo) ? other : lattice;
}

}  // namespace braird::vision
