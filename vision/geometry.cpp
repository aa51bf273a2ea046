// SPDX-License-Identifier: Apache-2.0
#include "vision/geometry.h"

#include <algorithm>
#include <cmath>

namespace braird::vision {

namespace {

cv::Point2d crept(const Creep& creep, cv::Point2d p) {
  if (creep.shift.empty()) return p;
  const int last_x = creep.shift.cols - 1, last_y = creep.shift.rows - 1;
  const double x = std::clamp((p.x - creep.extent.x) / creep.extent.width, 0.0, 1.0) * last_x;
  const double y = std::clamp((p.y - creep.extent.y) / creep.extent.height, 0.0, 1.0) * last_y;
  const int i = std::min(static_cast<int>(x), last_x - 1), j = std::min(static_cast<int>(y), last_y - 1);
  const double s = x - i, t = y - j;
  const cv::Vec2d shift = (1 - t) * ((1 - s) * creep.shift(j, i) + s * creep.shift(j, i + 1)) +
                          t * ((1 - s) * creep.shift(j + 1, i) + s * creep.shift(j + 1, i + 1));
  return {p.x + shift[0], p.y + shift[1]};
}

}  // namespace

Layout layout_of(const Lattice& lattice) {
  return {lattice.rows, lattice.cols,
          lattice.odd_row_shift == 0 ? LatticeKind::square : LatticeKind::staggered};
}

cv::Rect2d hull_of(const Lattice& lattice) {
  return {first_u(lattice) - 0.5, -0.5, lattice.cols + std::abs(lattice.odd_row_shift),
          static_cast<double>(lattice.rows)};
}

cv::Rect2d region_of(const Lattice& lattice) {
  const cv::Rect2d hull = hull_of(lattice);
  return {hull.x + kRegionInset, hull.y + kRegionInset, hull.width - 2 * kRegionInset,
          hull.height - 2 * kRegionInset};
}

double first_u(const Lattice& lattice) {
  return std::min(0.0, lattice.odd_row_shift);
}

cv::Point2d project(const cv::Matx33d& homography, cv::Point2d point) {
  const cv::Vec3d q = homography * cv::Vec3d(point.x, point.y, 1);
  return {q[0] / q[2], q[1] / q[2]};
}

cv::Point2d tray_point(const Lattice& lattice, int row, int col) {
  return {col + lattice.odd_row_shift * (row % 2), static_cast<double>(row)};
}

cv::Point2d photo_point(const Lattice& lattice, cv::Point2d tray) {
  const cv::Point2d plane = crept(lattice.creep, project(lattice.plane_from_tray, tray));
  return distort(lattice.lens, project(lattice.photo_from_plane, plane));
}

cv::Point2d tray_from_photo(const Lattice& lattice, cv::Point2d photo) {
  const cv::Matx33d tray_from_plane = lattice.plane_from_tray.inv(),
                    plane_from_photo = lattice.photo_from_plane.inv();
  return project(tray_from_plane, project(plane_from_photo, undistort(lattice.lens, photo)));
}

cv::Point2d cell_centre(const Lattice& lattice, int row, int col) {
  return photo_point(lattice, tray_point(lattice, row, col));
}

cv::Point2d middle_cell(const Lattice& lattice) {
  return cell_centre(lattice, lattice.rows / 2, lattice.cols / 2);
}

std::array<cv::Point2d, 4> corner_centres(const Lattice& lattice) {
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  return {cell_centre(lattice, 0, 0), cell_centre(lattice, 0, last_col),
          cell_centre(lattice, last_row, last_col), cell_centre(lattice, last_row, 0)};
}

double pitch_at(const Lattice& lattice, cv::Point2d tray) {
  const cv::Point2d across =
      photo_point(lattice, tray + cv::Point2d(0.5, 0)) - photo_point(lattice, tray - cv::Point2d(0.5, 0));
  const cv::Point2d down =
      photo_point(lattice, tray + cv::Point2d(0, 0.5)) - photo_point(lattice, tray - cv::Point2d(0, 0.5));
  return std::sqrt(std::abs(across.cross(down)));
}

bool same_cells(const Lattice& a, const Lattice& b) {
  if (layout_of(a).lattice != layout_of(b).lattice || a.rows * a.cols != b.rows * b.cols) return false;
  const double near = 0.45 * pitch_at(a, {a.cols / 2.0, a.rows / 2.0});
  const auto of_b = corner_centres(b), of_a = corner_centres(a);
  return std::all_of(of_a.begin(), of_a.end(), [&](cv::Point2d p) {
    return std::any_of(of_b.begin(), of_b.end(), [&](cv::Point2d q) { return cv::norm(p - q) < near; });
  });
}

Lattice part_of(const Lattice& lattice, bool upright, int first, int count) {
  const bool odd = !upright && first % 2 != 0;
  const double u = upright ? first : odd ? lattice.odd_row_shift : 0, v = upright ? 0 : first;
  Lattice part = lattice;
  (upright ? part.cols : part.rows) = count;
  part.plane_from_tray = lattice.plane_from_tray * cv::Matx33d(1, 0, u, 0, 1, v, 0, 0, 1);
  if (odd) part.odd_row_shift = -lattice.odd_row_shift;
  return part;
}

cv::Point2d distort(const Lens& lens, cv::Point2d point) {
  if (lens.k1 == 0) return point;
  const cv::Point2d offset = point - lens.middle;
  const double r2 = offset.dot(offset) / (lens.half_diagonal * lens.half_diagonal);
  return lens.middle + offset * (1 + lens.k1 * r2);
}

cv::Point2d undistort(const Lens& lens, cv::Point2d point) {
  if (lens.k1 == 0) return point;
  const cv::Point2d seen = point - lens.middle;
  const double far = cv::norm(seen) / lens.half_diagonal;
  if (far == 0) return point;
  // Newton's steps, three of which leave less than 1e-6 px at |k1| = 0.1; beyond where a lens folds they go
  // nowhere.
  constexpr double kFolded = 0.1;
  double r = far;
  for (int step = 0; step < 3; ++step)
    r -= (r * (1 + lens.k1 * r * r) - far) / std::max(kFolded, 1 + 3 * lens.k1 * r * r);
  return lens.middle + seen * (r / far);
}

namespace {
/// (0, 0) is the centre of the first pixel at either scale.
double shift_of(double factor) {
  return (factor - 1) / 2;
}
}  // namespace

Point scaled(Point point, double factor) {
  return {point.x * factor + shift_of(factor), point.y * factor + shift_of(factor)};
}

Lens scaled(Lens lens, double factor) {
  lens.middle = lens.middle * factor + cv::Point2d(shift_of(factor), shift_of(factor));
  lens.half_diagonal *= factor;
  return lens;
}

Lattice scaled(const Lattice& lattice, double factor) {
  Lattice result = lattice;
  const double shift = shift_of(factor);
  result.photo_from_plane =
      cv::Matx33d(factor, 0, shift, 0, factor, shift, 0, 0, 1) * lattice.photo_from_plane;
  result.lens = scaled(lattice.lens, factor);
  return result;
}

}  // namespace braird::vision
