// SPDX-License-Identifier: Apache-2.0
#include "vision/colours.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "vision/shrink.h"

namespace braird::vision {

bool is_of_one_tone(const cv::Mat& bgr) {
  // Of 200 painted photos, dim and hazy ones among them, none lies below either; of 25 others toned in five
  // ways and saved as JPEG a cast of 2 % always does, sepia mostly.
  constexpr double kLevels = 1.7, kShare = 0.04;
  constexpr int kBurntOut = 250;  // what is clipped bends the line
  constexpr double kSide = 256;   // px: averages leave little of the noise
  const cv::Mat small = shrunk(bgr, std::min(1.0, kSide / std::max(bgr.rows, bgr.cols)));
  std::vector<cv::Vec3b> colours;
  std::ranges::copy_if(cv::Mat_<cv::Vec3b>(small), std::back_inserter(colours), [](const cv::Vec3b& colour) {
    return std::max({colour[0], colour[1], colour[2]}) < kBurntOut;
  });
  if (10 * colours.size() < small.total()) return false;
  cv::Mat covariance, mean, spreads;
  cv::calcCovarMatrix(cv::Mat(colours).reshape(1), covariance, mean,
                      cv::COVAR_NORMAL | cv::COVAR_ROWS | cv::COVAR_SCALE, CV_64F);
  cv::eigen(covariance, spreads);
  const double along = std::sqrt(std::max(0.0, spreads.at<double>(0))),
               across = std::sqrt(std::max(0.0, spreads.at<double>(1)));
  return across < kLevels && across <= kShare * along;
}

bool is_in_purple_light(const cv::Mat& bgr) {
  // Painted trays as they are have 0.86 and more; under a lamp that gives a quarter of the green 0.5, a tenth 0.35.
  constexpr double kGreenShare = 0.7;
  constexpr int kDark = 25;  // too dark to have a colour
  constexpr int kPlacesAcross = 100;
  std::vector<double> shares;
  const int step = std::max(1, std::max(bgr.rows, bgr.cols) / kPlacesAcross);
  for (int y = 0; y < bgr.rows; y += step)
    for (int x = 0; x < bgr.cols; x += step) {
      const auto& colour = bgr.at<cv::Vec3b>(y, x);
      if (std::max({colour[0], colour[1], colour[2]}) >= kDark)
        shares.push_back(2.0 * colour[1] / (colour[0] + colour[2] + 1));
    }
  if (shares.empty()) return false;
  const auto middle = shares.begin() + std::ssize(shares) / 2;
  std::ranges::nth_element(shares, middle);
  return *middle < kGreenShare;
}

}  // namespace braird::vision
