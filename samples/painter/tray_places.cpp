// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

double half_cols(const Tray& tray) {
  return (tray.cols - 1 + std::abs(tray.odd_row_shift)) / 2;
}
double half_rows(const Tray& tray) {
  return (tray.rows - 1) / 2.0;
}
double first_u(const Tray& tray) {
  return std::min(0.0, tray.odd_row_shift);
}

/// Creep and bow: what a place of the lattice is shifted by, mm, from its place -1..1 along and across.
cv::Point2d warp(const Tray& tray, double s, double t) {
  const double reach_x = half_cols(tray) * tray.pitch_mm, reach_y = half_rows(tray) * tray.row_pitch_mm;
  return {reach_x * tray.creep[0] * (s * s - 1) / 2 + tray.bow[0] * tray.pitch_mm * (0.5 - t * t),
          reach_y * tray.creep[1] * (t * t - 1) / 2 + tray.bow[1] * tray.row_pitch_mm * (0.5 - s * s)};
}

cv::Point2d turned(cv::Point2d p, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return {p.x * c - p.y * s, p.x * s + p.y * c};
}

}  // namespace

cv::Point2d cell_uv(const Tray& tray, int row, int col) {
  return {col + tray.odd_row_shift * (row % 2), static_cast<double>(row)};
}

cv::Point2d place_of(const Tray& tray, cv::Point2d uv) {
  const double u = uv.x - first_u(tray) - half_cols(tray), v = uv.y - half_rows(tray);
  const cv::Point2d flat(u * tray.pitch_mm, v * tray.row_pitch_mm);
  const cv::Point2d local =
      flat + warp(tray, u / std::max(1.0, half_cols(tray)), v / std::max(1.0, half_rows(tray)));
  return tray.middle_mm + turned(local, tray.turn);
}

cv::Point2d uv_of(const Tray& tray, cv::Point2d world_mm) {
  const cv::Point2d local = turned(world_mm - tray.middle_mm, -tray.turn);
  cv::Point2d flat = local;
  for (int step = 0; step < 3; ++step) {
    const double s = flat.x / tray.pitch_mm / std::max(1.0, half_cols(tray));
    const double t = flat.y / tray.row_pitch_mm / std::max(1.0, half_rows(tray));
    flat = local - warp(tray, s, t);
  }
  return {flat.x / tray.pitch_mm + half_cols(tray) + first_u(tray),
          flat.y / tray.row_pitch_mm + half_rows(tray)};
}

cv::Point2d half_extent(const Tray& tray) {
  const double well_x = tray.lattice == LatticeKind::square ? tray.opening / 2 : 0.5;
  const double well_y =
      tray.lattice == LatticeKind::square ? tray.opening / 2 * tray.pitch_mm / tray.row_pitch_mm : 2.0 / 3;
  return {(half_cols(tray) + well_x) * tray.pitch_mm + tray.rim_mm,
          (half_rows(tray) + well_y) * tray.row_pitch_mm + tray.rim_mm};
}

std::vector<cv::Point2d> outline(const Tray& tray) {
  const cv::Point2d half = half_extent(tray);
  std::vector<cv::Point2d> corners;
  for (const cv::Point2d sign :
       {cv::Point2d(-1, -1), cv::Point2d(1, -1), cv::Point2d(1, 1), cv::Point2d(-1, 1)})
    corners.push_back(tray.middle_mm + turned({sign.x * half.x, sign.y * half.y}, tray.turn));
  return corners;
}

cv::Rect2d bounds(const Tray& tray, double margin_mm) {
  const std::vector<cv::Point2d> corners = outline(tray);
  cv::Point2d low = corners[0], high = corners[0];
  for (const cv::Point2d& c : corners) {
    low = {std::min(low.x, c.x), std::min(low.y, c.y)};
    high = {std::max(high.x, c.x), std::max(high.y, c.y)};
  }
  return {low - cv::Point2d(margin_mm, margin_mm), high + cv::Point2d(margin_mm, margin_mm)};
}

}  // namespace braird::painter
