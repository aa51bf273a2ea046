// SPDX-License-Identifier: Apache-2.0
#include "vision/green_cells.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace braird::vision {
namespace {

constexpr double kMiddle = 0.3;  // pitches from a cell's middle: within its walls
constexpr int kStepsAcross = 7;  // places looked at
constexpr double kGreen =
    0.12;  // excess green: by how much green is more than the mean of red and blue, in shares
constexpr double kNearlyAll = 0.75;

/// Excess green (Woebbecke et al. 1995) of the 3 x 3 px around a place, which take the noise off.
double greenness(const cv::Mat& bgr, cv::Point2d at) {
  const cv::Rect around(cvRound(at.x) - 1, cvRound(at.y) - 1, 3, 3);
  const cv::Rect seen = around & cv::Rect({}, bgr.size());
  if (seen.empty()) return 0;
  const cv::Scalar mean = cv::mean(bgr(seen));
  return (2 * mean[1] - mean[0] - mean[2]) / (mean[0] + mean[1] + mean[2] + 1);
}

/// Places spread over the middle of a cell, from its centre, in pitches.
std::vector<cv::Point2d> places() {
  std::vector<cv::Point2d> within;
  constexpr int kSteps = kStepsAcross / 2;
  for (int down = -kSteps; down <= kSteps; ++down)
    for (int across = -kSteps; across <= kSteps; ++across)
      if (std::hypot(across, down) <= kSteps) within.push_back(kMiddle / kSteps * cv::Point2d(across, down));
  return within;
}

}  // namespace

int count_green_cells(const cv::Mat& bgr, const Lattice& lattice) {
  const std::vector<cv::Point2d> around = places();
  const auto is_green = [&](cv::Point2d middle) {
    double bare = (1 - kNearlyAll) * static_cast<double>(around.size());  // so many may be
    return std::ranges::all_of(around, [&](cv::Point2d off) {
      return greenness(bgr, photo_point(lattice, middle + off)) > kGreen || --bare >= 0;
    });
  };
  int count = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) count += is_green(tray_point(lattice, row, col));
  return count;
}

}  // namespace braird::vision
