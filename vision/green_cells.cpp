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

bool is_green(const cv::Mat& bgr, const Lattice& lattice, cv::Point2d middle) {
  int green = 0, places = 0;
  for (int row = 0; row < kStepsAcross; ++row)
    for (int col = 0; col < kStepsAcross; ++col) {
      const cv::Point2d off =
          cv::Point2d(2.0 * col / (kStepsAcross - 1) - 1, 2.0 * row / (kStepsAcross - 1) - 1);
      if (std::hypot(off.x, off.y) > 1.01) continue;
      ++places;
      green += greenness(bgr, photo_point(lattice, middle + kMiddle * off)) > kGreen;
    }
  return green >= kNearlyAll * places;
}

}  // namespace

int count_green_cells(const cv::Mat& bgr, const Lattice& lattice) {
  int count = 0;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      count += is_green(bgr, lattice, tray_point(lattice, row, col));
  return count;
}

}  // namespace braird::vision
