// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_agreement.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/lattice_blobs.h"

namespace braird::vision {
namespace {

constexpr double kWidestGap =
    0.42;                        // pitches: 98 of 100 whole painted trays leave less, a row seen by half 0.5
constexpr double kDimRow = 0.6;  // of the cells' mean heat; whole painted edges have 0.79 and more

double look(const cv::Mat& map, cv::Point2d p) {
  if (!(p.x > -1 && p.y > -1 && p.x < map.cols && p.y < map.rows)) return 0;  // nor where NaN is
  const int x = cvRound(p.x), y = cvRound(p.y);
  if (x < 0 || y < 0 || x >= map.cols || y >= map.rows) return 0;
  return map.at<float>(y, x);
}

void draw_blob(cv::Mat& drawn, cv::Point2d at, double sigma) {
  if (!(sigma < kNowhere && std::abs(at.x) < kNowhere && std::abs(at.y) < kNowhere)) return;
  const int reach = cvCeil(3 * sigma);
  const cv::Rect window =
      cv::Rect(cvRound(at.x) - reach, cvRound(at.y) - reach, 2 * reach + 1, 2 * reach + 1) &
      cv::Rect({0, 0}, drawn.size());
  const auto fall = [&](double off) {
    return std::exp(static_cast<float>(-off * off / (2 * sigma * sigma)));
  };
  std::vector<float> across;
  for (int x = window.x; x < window.br().x; ++x) across.push_back(fall(x - at.x));
  for (int y = window.y; y < window.br().y; ++y) {
    const float down = fall(y - at.y);
    float* row = drawn.ptr<float>(y) + window.x;
    for (std::size_t i = 0; i < across.size(); ++i) row[i] = std::max(row[i], down * across[i]);
  }
}

double correlation(const cv::Mat& a, const cv::Mat& b) {
  const double n = static_cast<double>(a.total()), sa = cv::sum(a)[0], sb = cv::sum(b)[0];
  const double spread = (a.dot(a) - sa * sa / n) * (b.dot(b) - sb * sb / n);
  return spread > 0 ? (a.dot(b) - sa * sb / n) / std::sqrt(spread) : 0;
}

/// Lattices with too few cells meet a blob each, yet leave the rest of the map unexplained: this sees it.
double likeness_of(const LatticeMaps& maps, const Lattice& lattice, const std::vector<Spot>& spots) {
  cv::Mat drawn = cv::Mat::zeros(maps.centres.size(), CV_32F);
  for (const Spot& spot : spots) draw_blob(drawn, spot.at, 0.2 * spot.pitch);
  std::vector<cv::Point2f> hull;
  for (const int row : {0, lattice.rows - 1})
    for (const int col : {0, lattice.cols - 1}) hull.emplace_back(cell_centre(lattice, row, col));
  const cv::Rect box = cv::boundingRect(hull) & cv::Rect({0, 0}, drawn.size());
  if (box.area() < 4) return 0;
  return correlation(maps.centres(box), drawn(box));
}

std::vector<cv::Point2d> cells_of(const Lattice& lattice) {
  std::vector<cv::Point2d> cells;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) cells.push_back(tray_point(lattice, row, col));
  return cells;
}

/// The outermost cells of a side (0: first row, then clockwise), or the places `out` pitches beyond them.
std::vector<cv::Point2d> row_along(const Lattice& lattice, int side, int out) {
  std::vector<cv::Point2d> places;
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  if (side % 2 == 0) {
    const int row = side == 0 ? -out : last_row + out;
    for (int col = 0; col < lattice.cols; ++col)
      places.emplace_back(col + lattice.odd_row_shift * std::abs(row % 2), row);
  } else {
    const cv::Point2d step(side == 1 ? out : -out, 0);
    for (int row = 0; row < lattice.rows; ++row)
      places.push_back(tray_point(lattice, row, side == 1 ? last_col : 0) + step);
  }
  return places;
}

/// Mean strength of the blobs at these places; none outside the region.
double mean_heat(const LatticeMaps& maps, const Lattice& lattice, const std::vector<cv::Point2d>& places) {
  double heat = 0;
  for (const cv::Point2d& tray : places) {
    const cv::Point2d at = photo_point(lattice, tray);
    if (look(maps.region, at) > 0.5) heat += look(maps.centres, at);
  }
  return heat / static_cast<double>(places.size());
}

/// By how many pitches the quad lies outside (negative: inside) the cells' region at the middle of a side.
double gap_at(const Lattice& lattice, const std::array<cv::Point2d, 4>& corners, int side) {
  const cv::Rect2d hull = region_of(lattice);
  const cv::Point2d middle = (hull.tl() + hull.br()) * 0.5;
  const std::array<cv::Point2d, 4> sides{cv::Point2d(middle.x, hull.y), cv::Point2d(hull.br().x, middle.y),
                                         cv::Point2d(middle.x, hull.br().y), cv::Point2d(hull.x, middle.y)};
  const cv::Point2d inwards = (middle - sides[side]) * (1 / cv::norm(middle - sides[side]));
  const cv::Point2d at = undistort(lattice.lens, photo_point(lattice, sides[side]));
  const cv::Point2d outward = at - undistort(lattice.lens, photo_point(lattice, sides[side] + inwards));
  double nearest = 1e9;
  for (int i = 0; i < 4; ++i) {
    const cv::Point2d along = corners[(i + 1) % 4] - corners[i];
    const double step = outward.cross(along);
    if (std::abs(step) < 0.5 * cv::norm(outward) * cv::norm(along)) continue;  // this side runs the other way
    const double gap = (corners[i] - at).cross(along) / step;
    if (std::abs(gap) < std::abs(nearest)) nearest = gap;
  }
  return nearest;
}

/// Rows (or columns) stray smoothly where a lattice creeps, and by a jump where another tray begins.
double jump_along(const std::vector<double>& sums, const std::vector<double>& weights) {
  double jump = 0;
  for (std::size_t i = 0; i + 1 < sums.size(); ++i)
    if (std::min(weights[i], weights[i + 1]) > 1)
      jump = std::max(jump, std::abs(sums[i + 1] / weights[i + 1] - sums[i] / weights[i]));
  return jump;
}

double jump_of(const Lattice& lattice, const std::vector<Meeting>& meetings) {
  std::vector<double> down(lattice.rows), across(2 * lattice.cols + 1), row_weight(down), col_weight(across);
  for (const Stray& stray : strays_of(lattice, meetings)) {
    const auto row = static_cast<std::size_t>(stray.tray.y);
    const auto half_col = static_cast<std::size_t>(std::lround(2 * (stray.tray.x - first_u(lattice))));
    down[row] += stray.weight * stray.off.y, row_weight[row] += stray.weight;
    across[half_col] += stray.weight * stray.off.x, col_weight[half_col] += stray.weight;
  }
  if (lattice.odd_row_shift == 0)  // every other entry is empty
    for (std::size_t i = 0; 2 * i < across.size(); ++i)
      across[i] = across[2 * i], col_weight[i] = col_weight[2 * i];
  if (lattice.odd_row_shift == 0) across.resize(lattice.cols);
  return std::max(jump_along(down, row_weight), jump_along(across, col_weight));
}

/// Log of a cell's height over its width, against what trays have: square ones 1, honeycombs 0.87 and more.
double aspect_of(const Lattice& lattice) {
  const cv::Point2d middle((lattice.cols - 1) / 2.0, (lattice.rows - 1) / 2.0);
  const auto plane_point = [&](cv::Point2d tray) { return project(lattice.photo_from_plane, tray); };
  const double wide =
      cv::norm(plane_point(middle + cv::Point2d(0.5, 0)) - plane_point(middle - cv::Point2d(0.5, 0)));
  const double high =
      cv::norm(plane_point(middle + cv::Point2d(0, 0.5)) - plane_point(middle - cv::Point2d(0, 0.5)));
  return std::log(high / wide / (lattice.odd_row_shift == 0 ? 1 : 0.9));
}

}  // namespace

bool has_hidden_side(const LatticeMaps& maps, const Lattice& lattice,
                     const std::array<cv::Point2d, 4>& corners) {
  const double cell_heat = mean_heat(maps, lattice, cells_of(lattice));
  for (int side = 0; side < 4; ++side) {
    const double gap = gap_at(lattice, corners, side);
    const bool dim = mean_heat(maps, lattice, row_along(lattice, side, 0)) < kDimRow * cell_heat;
    if (gap > kWidestGap || (gap < -kWidestGap && dim)) return true;
  }
  return false;
}

Agreement compare(const LatticeMaps& maps, const Lattice& lattice,
                  const std::array<cv::Point2d, 4>& corners) {
  Agreement result;
  result.gap = 0;
  result.aspect = std::abs(aspect_of(lattice));
  double met = 0, heat = 0;
  std::vector<Meeting> meetings;
  const std::vector<Spot> spots = spots_of(lattice);
  const auto cells = static_cast<double>(spots.size());
  for (const Spot& spot : spots) {
    heat += look(maps.centres, spot.at);
    const auto m = meet(maps, spot, 0.4);
    met += m && cv::norm(m->seen - spot.at) <= 0.25 * m->pitch;
    if (m) meetings.push_back(*m);
  }
  result.met = met / cells;
  result.jump = jump_of(lattice, meetings);
  result.likeness = likeness_of(maps, lattice, spots);
  result.edge = 1;
  result.beyond = 0;
  for (int side = 0; side < 4; ++side) {
    const double scale = 1 / std::max(heat / cells, 1e-6);
    result.gap = std::max(result.gap, std::abs(gap_at(lattice, corners, side)));
    result.edge = std::min(result.edge, scale * mean_heat(maps, lattice, row_along(lattice, side, 0)));
    result.beyond = std::max(result.beyond, scale * mean_heat(maps, lattice, row_along(lattice, side, 1)));
  }
  return result;
}

}  // namespace braird::vision
