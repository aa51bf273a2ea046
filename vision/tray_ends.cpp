// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_ends.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/net/networks.h"
#include "vision/sheet.h"

namespace braird::vision {
namespace {

constexpr double kInside = 1.75, kOutside = 1.25;  // this and the next two as in training
constexpr double kFewestCells = 12;
constexpr double kBeside = 1;  // cells
constexpr int kDepth = static_cast<int>(kSheetCell * (kInside + kOutside));

/// Where the strip along a line so many rows within a side lies.
Sheet sheet_along(const Lattice& lattice, int side, int back) {
  const cv::Rect2d hull = hull_of(lattice);
  const bool upright = side % 2 == 1, last = side == 1 || side == 2;
  const cv::Point2d corner = last ? hull.br() : hull.tl();
  const cv::Point2d along = upright ? cv::Point2d(0, 1) : cv::Point2d(1, 0);
  const cv::Point2d beyond = (upright ? cv::Point2d(1, 0) : cv::Point2d(0, 1)) * (last ? 1 : -1);
  const double cells = upright ? hull.height : hull.width;
  const double length = std::max(kFewestCells, cells + 2 * kBeside);
  const cv::Point2d line = upright ? cv::Point2d(corner.x, hull.y) : cv::Point2d(hull.x, corner.y);
  return {line - along * ((length - cells) / 2) - beyond * (kInside + back),
          along,
          beyond,
          {cvRound(length * kSheetCell), kDepth}};
}

void show(const std::vector<cv::Mat>& strips, const std::vector<LineChances>& chances, const Trace& trace) {
  for (std::size_t side = 0; trace && side < strips.size(); ++side) {
    cv::Mat bgr;
    cv::cvtColor(strips[side], bgr, cv::COLOR_BGRA2BGR);
    const auto& [ends, goes_on, hidden, beyond] = chances[side];
    trace(fmt::format("side-{}-ends-{:.4f}-goes-on-{:.4f}-hidden-{:.4f}-beyond-{:.4f}", side, ends, goes_on,
                      hidden, beyond),
          bgr);
  }
}

}  // namespace

cv::Mat strip_along(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, int side, int back) {
  return seen_on(bgr, frame, lattice, sheet_along(lattice, side, back));
}

std::array<double, 4> chances_of_ends(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice,
                                      const Trace& trace) {
  std::vector<cv::Mat> strips(4), inputs(4);
  for (std::size_t side = 0; side < 4; ++side) {
    strips[side] = strip_along(bgr, frame, lattice, static_cast<int>(side));
    inputs[side] = about_mean(strips[side]);
  }
  const std::vector<LineChances> chances = line_chances(inputs);
  show(strips, chances, trace);
  return {chances[0][0], chances[1][0], chances[2][0], chances[3][0]};
}

double chance_of_ends_at(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, bool upright,
                         int before, double enough) {
  const int behind = rows_across(lattice, upright) - before;
  double least = 1;
  for (const auto& [side, back] : {std::pair(upright ? 1 : 2, behind), std::pair(upright ? 3 : 0, before)}) {
    const auto chances = line_chances({about_mean(strip_along(bgr, frame, lattice, side, back))});
    least = std::min<double>(least, chances[0][0]);
    if (least < enough) break;
  }
  return least;
}

}  // namespace braird::vision
