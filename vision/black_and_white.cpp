// SPDX-License-Identifier: Apache-2.0
#include "vision/black_and_white.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr int kBlock = 8;           // px each way that have one threshold
constexpr int kLeastContrast = 24;  // of a block that holds both black and white

struct BlockLight {
  int mean = 0, least = 255, most = 0;
};

cv::Point block_start(const cv::Mat& grey, int row, int col) {
  return {std::min(col * kBlock, grey.cols - kBlock), std::min(row * kBlock, grey.rows - kBlock)};
}

BlockLight light_of(const cv::Mat& grey, cv::Point start) {
  BlockLight light;
  int sum = 0;
  for (int y = 0; y < kBlock; ++y) {
    const auto* row = grey.ptr<unsigned char>(start.y + y) + start.x;
    for (int x = 0; x < kBlock; ++x) {
      sum += row[x];
      light.least = std::min<int>(light.least, row[x]);
      light.most = std::max<int>(light.most, row[x]);
    }
  }
  light.mean = sum / (kBlock * kBlock);
  return light;
}

/// A block of one shade is black if it is darker than the thresholds before it, else white.
int threshold_for(const BlockLight& light, const cv::Mat& before, int row, int col) {
  if (light.most - light.least > kLeastContrast) return light.mean;
  if (row == 0 || col == 0) return light.least / 2;
  const auto at = [&](int y, int x) { return int{before.at<unsigned char>(y, x)}; };
  const int around = (at(row - 1, col) + 2 * at(row, col - 1) + at(row - 1, col - 1)) / 4;
  return light.least < around ? around : light.least / 2;
}

}  // namespace

cv::Mat black_and_white(const cv::Mat& grey) {
  const int rows = (grey.rows + kBlock - 1) / kBlock, cols = (grey.cols + kBlock - 1) / kBlock;
  cv::Mat thresholds(rows, cols, CV_8U), picture(grey.size(), CV_8U);
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col)
      thresholds.at<unsigned char>(row, col) = static_cast<unsigned char>(
          threshold_for(light_of(grey, block_start(grey, row, col)), thresholds, row, col));
  cv::blur(thresholds, thresholds, {5, 5}, {-1, -1}, cv::BORDER_REPLICATE);
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col) {
      const cv::Point start = block_start(grey, row, col);
      const int threshold = thresholds.at<unsigned char>(row, col);
      for (int y = 0; y < kBlock; ++y) {
        const auto* from = grey.ptr<unsigned char>(start.y + y) + start.x;
        auto* to = picture.ptr<unsigned char>(start.y + y) + start.x;
        for (int x = 0; x < kBlock; ++x) to[x] = from[x] > threshold ? 255 : 0;
      }
    }
  return picture;
}

}  // namespace braird::vision
