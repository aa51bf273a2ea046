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

/// How far a place lies from the upper left; height counts more, as people read line by line.
double lateness(cv::Point2d place, cv::Size photo) {
  return place.y / photo.height + 0.6 * place.x / photo.width;
}

double lateness(const Lattice& lattice, cv::Size photo) {
  return lateness(cell_centre(lattice, 0, 0), photo);
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

std::string first_corner(const Lattice& lattice, cv::Size photo) {
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  const cv::Point2d first = cell_centre(lattice, 0, 0), along = cell_centre(lattice, 0, last_col),
                    down = cell_centre(lattice, last_row, 0), last = cell_centre(lattice, last_row, last_col);
  const double start = lateness(first, photo);
  if (start <= lateness(along, photo) && start <= lateness(down, photo) && start <= lateness(last, photo))
    return "upper left";
  const cv::Point2d beside = (along + down) / 2;  // the middle of the other diagonal
  return std::string(first.y < beside.y ? "upper " : "lower ") + (first.x < beside.x ? "left" : "right");
}

}  // namespace braird::vision
