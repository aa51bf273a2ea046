// SPDX-License-Identifier: Apache-2.0
#include "vision/looks.h"

namespace braird::vision {
namespace {

CountChances chances_at(const cv::Mat& chances, int y, int x) {
  const float* first = chances.ptr<float>(y, x);
  return {first, first + chances.channels()};
}

}  // namespace

cv::Mat sides(const cv::Mat& lean, const Hints& hints) {
  cv::Mat parts[8];
  cv::split(lean, parts);
  for (int c = 2; c < 8; ++c) parts[c] = cv::Mat::zeros(lean.size(), CV_32F);
  parts[2 + static_cast<int>(hints.habit)].setTo(1);
  if (hints.seeds_per_cell) {
    parts[6].setTo(*hints.seeds_per_cell / 8.0);
    parts[7].setTo(1);
  }
  cv::Mat result;
  cv::merge(parts, 8, result);
  return result;
}

std::vector<CountChances> chances_of_cells(const cv::Mat& seen, const Lattice& lattice) {
  std::vector<CountChances> chances;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      chances.push_back(
          chances_at(seen, row, cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice)))));
  return chances;
}

}  // namespace braird::vision
