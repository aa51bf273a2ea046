// SPDX-License-Identifier: Apache-2.0
#include "vision/numbering.h"

#include <algorithm>
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

/// How late one reads from here, line by line, so that height counts more: above goes before left in trays up
/// to three times as wide as high. How much bench the photo shows doesn't matter.
double lateness(const Lattice& lattice) {
  const cv::Point2d first = cell_centre(lattice, 0, 0);
  return first.y + 0.3 * first.x;
}

cv::Point2d middle_of(const Lattice& lattice) {
  cv::Point2d sum;
  for (const cv::Point2d& corner : corner_centres(lattice)) sum += corner;
  return sum / 4;
}

double height_of(const Lattice& lattice) {
  const auto corners = corner_centres(lattice);
  const auto [top, bottom] = std::ranges::minmax(corners, {}, &cv::Point2d::y);
  return bottom.y - top.y;
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

Lattice with_stated_rows(const Lattice& lattice, const Hints& hints) {
  const bool turned = lattice.odd_row_shift == 0 && lattice.rows != lattice.cols &&
                      hints.rows == lattice.cols && hints.cols == lattice.rows;
  return turned ? quarter_turned(lattice) : lattice;
}

Lattice numbered(Lattice lattice, const Hints& hints) {
  const bool told = hints.rows && hints.cols && *hints.rows != *hints.cols;
  if (told)
    lattice = with_stated_rows(lattice, hints);
  else if (lattice.odd_row_shift == 0 && !rows_run_across(lattice))
    lattice = quarter_turned(lattice);
  const Lattice other = half_turned(lattice);
  return lateness(other) < lateness(lattice) ? other : lattice;
}

std::string first_corner(const std::array<Point, 4>& corners) {
  const auto from_upper_left = [](const Point& corner) { return corner.x + corner.y; };
  if (std::ranges::min_element(corners, {}, from_upper_left) == corners.begin()) return "upper left";
  const Point &first = corners[0], &along = corners[1], &down = corners[3];
  return std::string(2 * first.y < along.y + down.y ? "upper " : "lower ") +
         (2 * first.x < along.x + down.x ? "left" : "right");
}

std::vector<Lattice> in_reading_order(std::vector<Lattice> lattices) {
  const auto x = [](const Lattice& lattice) { return middle_of(lattice).x; };
  const auto y = [](const Lattice& lattice) { return middle_of(lattice).y; };
  std::ranges::sort(lattices, {}, y);
  for (auto line = lattices.begin(); line != lattices.end();) {
    const double end = y(*line) + height_of(*line) / 2;
    const auto next = std::find_if(line, lattices.end(), [&](const Lattice& one) { return y(one) > end; });
    std::ranges::sort(line, next, {}, x);
    line = next;
  }
  return lattices;
}

}  // namespace braird::vision
