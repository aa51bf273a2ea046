// SPDX-License-Identifier: Apache-2.0
#include "vision/patch_layouts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <utility>

#include "vision/lattice_refine.h"

namespace braird::vision {
namespace {

/// A vector of whole steps, and how it lies on the map.
struct Way {
  cv::Point steps;
  cv::Point2d on_map;

  Way operator+(const Way& other) const { return {steps + other.steps, on_map + other.on_map}; }
  Way operator-(const Way& other) const { return {steps - other.steps, on_map - other.on_map}; }
  Way operator-() const { return {-steps, -on_map}; }
  double length() const { return cv::norm(on_map); }
};

/// The patch's two neighbour vectors, on average.
std::array<Way, 2> mean_steps(const Patch& patch) {
  cv::Matx33d normal = cv::Matx33d::zeros();
  cv::Matx<double, 3, 2> right = cv::Matx<double, 3, 2>::zeros();
  for (const PlacedBlob& blob : patch) {
    const cv::Vec3d d(1, blob.steps.x, blob.steps.y);
    normal += d * d.t();
    right += d * cv::Matx12d(blob.seen.x, blob.seen.y);
  }
  const cv::Matx<double, 3, 2> map = normal.inv(cv::DECOMP_SVD) * right;
  return {Way{{1, 0}, {map(1, 0), map(1, 1)}}, Way{{0, 1}, {map(2, 0), map(2, 1)}}};
}

/// The shortest two steps of the same lattice, at 60 to 90 degrees (Gauss).
std::array<Way, 2> reduced(std::array<Way, 2> ways) {
  auto& [a, b] = ways;
  for (int i = 0; i < 20; ++i) {
    if (a.length() > b.length()) std::swap(a, b);
    const auto times = static_cast<int>(std::lround(a.on_map.dot(b.on_map) / a.on_map.dot(a.on_map)));
    if (times == 0) break;
    b = {b.steps - times * a.steps, b.on_map - times * a.on_map};
  }
  if (a.on_map.dot(b.on_map) < 0) b = -b;
  return ways;
}

double cosine(cv::Point2d a, cv::Point2d b) {
  return std::abs(a.dot(b)) / (cv::norm(a) * cv::norm(b));
}

/// How well a way lies along one pair of the quad's sides, and what stands upright on it along the other.
double lies_along(const TrayQuad& quad, cv::Point2d way, cv::Point2d upright) {
  const auto& c = quad.corners;
  const cv::Point2d first = c[1] - c[0] + c[2] - c[3], second = c[3] - c[0] + c[2] - c[1];
  return std::max(cosine(way, first) + cosine(upright, second), cosine(way, second) + cosine(upright, first));
}

constexpr double kSquareFrom =
    0.26;  // cosine of the angle below which two steps make square cells: 75 degrees

/// The step along a row, and the one (half a step aside, if staggered) to the next row.
std::array<Way, 2> row_and_next(const Patch& patch, const TrayQuad& quad, bool& staggered) {
  const auto [a, b] = reduced(mean_steps(patch));
  staggered = cosine(a.on_map, b.on_map) > kSquareFrom;
  if (!staggered) return {a, a.on_map.cross(b.on_map) > 0 ? b : -b};
  std::array<Way, 2> best{a, b};
  double most = -1;
  for (const auto& [row, next] : {std::pair(a, b), std::pair(b, a), std::pair(b - a, b)})
    for (const Way& other : {next, next - row}) {
      const Way two_rows = other + other - row;
      const double along =
          lies_along(quad, row.on_map, two_rows.on_map) - 0.5 * cosine(row.on_map, two_rows.on_map);
      if (along > most) most = along, best = {row, other};
    }
  if (best[0].on_map.cross(best[1].on_map) < 0) best[1] = best[0] - best[1];
  return best;
}

bool holds(const PatchWindow& window, cv::Point2d tray) {
  const double v = tray.y - window.first.y;
  if (v < -0.25 || v > window.rows - 0.75) return false;
  const bool odd = std::lround(v) % 2 != 0;
  const double u = tray.x - window.first.x - (odd ? window.odd_row_shift : 0);
  return u > -0.25 && u < window.cols - 0.75;
}

/// Filled places within less half of all.
double fullness(const ReadPatch& patch, const PatchWindow& window) {
  const auto filled = std::count_if(patch.cells.begin(), patch.cells.end(),
                                    [&](const Meeting& cell) { return holds(window, cell.tray); });
  return static_cast<double>(filled) - 0.5 * window.rows * window.cols;
}

}  // namespace

ReadPatch read_patch(const Patch& patch, const TrayQuad& quad) {
  ReadPatch read;
  const auto [row, next] = row_and_next(patch, quad, read.staggered);
  const double pitch = std::sqrt(std::abs(row.on_map.cross(next.on_map)));
  const cv::Matx22d steps(row.steps.x, next.steps.x, row.steps.y, next.steps.y);
  const cv::Matx22d back = steps.inv();
  for (const PlacedBlob& blob : patch) {
    const cv::Vec2d along = back * cv::Vec2d(blob.steps.x, blob.steps.y);
    const double v = std::round(along[1]), u = std::round(along[0]) + (read.staggered ? v / 2 : 0);
    read.cells.push_back({{u, v}, blob.seen, blob.weight, pitch});
  }
  return read;
}

std::vector<PatchWindow> neighbours(const PatchWindow& window) {
  std::vector<PatchWindow> result;
  const auto add = [&](double left, double right, double top, double bottom) {
    PatchWindow next = window;
    next.first -= cv::Point2d(left, top);
    next.cols += static_cast<int>(left + right), next.rows += static_cast<int>(top + bottom);
    // A row more above: the first row is now one of the shifted ones.
    if (top != 0 && window.odd_row_shift != 0)
      next.first.x += window.odd_row_shift, next.odd_row_shift = -window.odd_row_shift;
    if (std::min(next.rows, next.cols) >= 3) result.push_back(next);
    return next;
  };
  for (const int step : {-1, 1}) {
    add(step, 0, 0, 0), add(0, step, 0, 0);
    add(0, 0, step, 0), add(0, 0, 0, step);
  }
  if (window.odd_row_shift == 0) return result;
  PatchWindow other = window;
  other.odd_row_shift = -window.odd_row_shift;
  result.push_back(other);
  other.first.x += 2 * window.odd_row_shift;
  result.push_back(other);
  return result;
}

PatchWindow fullest_window(const ReadPatch& patch) {
  std::vector<double> u, v;
  for (const Meeting& cell : patch.cells) u.push_back(cell.tray.x), v.push_back(cell.tray.y);
  const auto [left, right] = std::minmax_element(u.begin(), u.end());
  const auto [top, bottom] = std::minmax_element(v.begin(), v.end());
  PatchWindow best;
  best.rows = std::max(3, static_cast<int>(std::lround(*bottom - *top)) + 1);
  best.cols = std::max(3, static_cast<int>(std::lround(*right - *left)) + 1);
  best.first = {*left, *top};
  if (patch.staggered) {
    best.odd_row_shift = 0.5;
    // The first row's cells stand at whole or at half steps.
    for (const Meeting& cell : patch.cells)
      if (cell.tray.y == *top) best.first.x = std::floor(*left - cell.tray.x) + cell.tray.x;
  }
  double fullest = fullness(patch, best);
  for (bool better = true; better;) {
    better = false;
    for (const PatchWindow& next : neighbours(best))
      if (const double full = fullness(patch, next); full > fullest)
        fullest = full, best = next, better = true;
  }
  return best;
}

Lattice laid(const ReadPatch& patch, const PatchWindow& window, const Lens& lens) {
  Lattice lattice;
  lattice.rows = window.rows, lattice.cols = window.cols;
  lattice.odd_row_shift = window.odd_row_shift;
  lattice.lens = lens;
  std::vector<Meeting> meetings;
  for (Meeting cell : patch.cells) {
    if (!holds(window, cell.tray)) continue;
    cell.tray -= window.first;
    meetings.push_back(cell);
  }
  return lay_through(meetings, lattice);
}

}  // namespace braird::vision
