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
  if (colours.size() < small.total() / 10) return false;
  cv::Mat covariance, mean, spreads;
  cv::calcCovarMatrix(cv::Mat(colours).reshape(1), covariance, mean,
                      cv::COVAR_NORMAL | cv::COVAR_ROWS | cv::COVAR_SCALE, CV_64F);
  cv::eigen(covariance, spreads);
  const double along = std::sqrt(std::max(0.0, spreads.at<double>(0))),
               across = std::sqrt(std::max(0.0, spreads.at<double>(1)));
  return across < kLevels && across <= kShare * along;
}

}  // namespace braird::vision
