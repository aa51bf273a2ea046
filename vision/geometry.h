// SPDX-License-Identifier: Apache-2.0
// Tray coordinates, in cells:
//
//      square (shift 0)            staggered (shift +0.5)         u: along a row, towards higher columns
//   v=0   o   o   o   o          v=0   o   o   o   o             v: from row to row
//   v=1   o   o   o   o          v=1     o   o   o   o           cell (row, col) stands at
//   v=2   o   o   o   o          v=2   o   o   o   o             (col + shift * (row mod 2), row)
//
// Going from u to v turns clockwise in the photo, as from right to down: numberings are never mirrored.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "calibration/census.h"

namespace braird::vision {

/// Regions lie this far within the hull of their cells, in pitches: butted trays stay apart.
constexpr double kRegionInset = 0.25;

/// The lens: a point at r (1 = the photo's corner) from the middle of the frame appears at r (1 + k1 r²).
struct Lens {
  cv::Point2d middle;
  double half_diagonal = 1;
  double k1 = 0;
};

/// How far cells have crept from where an even lattice has them: a coarse net over the plane, linear in
/// between.
struct Creep {
  cv::Mat_<cv::Vec2d> shift;  ///< in cells, at the knots; empty: none
  cv::Rect2d extent;          ///< the plane coordinates of the first and the last knot
};

/// A tray has at least so many rows and columns.
constexpr int kFewestRows = 3;

/// Where a tray's cells stand in a photo: numbered cells of a crept lattice on a plane seen through a lens.
struct Lattice {
  int rows = 0;
  int cols = 0;
  double odd_row_shift = 0;  ///< 0: square; ±0.5: staggered, odd rows shifted that far along u
  cv::Matx33d photo_from_plane = cv::Matx33d::eye();  ///< before the lens
  Lens lens;
  Creep creep;
  cv::Matx33d plane_from_tray =
      cv::Matx33d::eye();  ///< changes when the cells are numbered from another corner
  double fit = 0;          ///< chance that shape and place are right, 0..1
};

Layout layout_of(const Lattice& lattice);
/// The rectangle that the cells fill, half a pitch beyond the outermost centres, in tray coordinates.
cv::Rect2d hull_of(const Lattice& lattice);
/// Its part that maps show as a tray's region: `kRegionInset` within it.
cv::Rect2d region_of(const Lattice& lattice);
/// The u of the leftmost cell centre: 0, or -0.5 where odd rows are shifted that way.
double first_u(const Lattice& lattice);
cv::Point2d project(const cv::Matx33d& homography, cv::Point2d point);
cv::Point2d tray_point(const Lattice& lattice, int row, int col);
cv::Point2d photo_point(const Lattice& lattice, cv::Point2d tray);
/// The way back, but for creep.
cv::Point2d tray_from_photo(const Lattice& lattice, cv::Point2d photo);
cv::Point2d cell_centre(const Lattice& lattice, int row, int col);
/// That of the cell in the middle.
cv::Point2d middle_cell(const Lattice& lattice);
/// The corner cells' centres, clockwise from the first row's first.
std::array<cv::Point2d, 4> corner_centres(const Lattice& lattice);
/// Square root of the area of a cell at this place of the tray, in photo pixels.
double pitch_at(const Lattice& lattice, cv::Point2d tray);

cv::Point2d distort(const Lens& lens, cv::Point2d point);
cv::Point2d undistort(const Lens& lens, cv::Point2d point);

/// Whether both have the same cells, from whatever corner they are numbered.
bool same_cells(const Lattice& a, const Lattice& b);

/// How many rows (columns, if `upright`) it has.
inline int rows_across(const Lattice& lattice, bool upright) {
  return upright ? lattice.cols : lattice.rows;
}

/// So many of its rows (columns, if `upright`) from `first` on, at the places where they are.
Lattice part_of(const Lattice& lattice, bool upright, int first, int count);

/// The same place in a photo scaled by `factor`.
Point scaled(Point point, double factor);

/// The same lens over a photo scaled by `factor`.
Lens scaled(Lens lens, double factor);

/// The same cells in a photo scaled by `factor`.
Lattice scaled(const Lattice& lattice, double factor);

}  // namespace braird::vision
