// SPDX-License-Identifier: Apache-2.0
#include "vision/plants.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace braird::vision {
namespace {

double quantile(std::vector<float> values, double share) {
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

cv::Mat balanced(const cv::Mat& bgr) {
  const cv::Scalar mean = cv::mean(bgr);
  cv::Mat3f table(1, 256), result;
  for (int value = 0; value < 256; ++value)
    for (int c = 0; c < 3; ++c)
      table(value)[c] = static_cast<float>(std::min(value / std::max(mean[c], 2.55) - 1, 3.0));
  cv::LUT(bgr, table, result);
  return result;
}

cv::Mat excess_green(const cv::Mat& bgr) {
  const cv::Mat light = balanced(bgr);
  cv::Mat result(light.size(), CV_32F);
  for (int y = 0; y < light.rows; ++y)
    for (int x = 0; x < light.cols; ++x) {
      const cv::Vec3f p =
          light.at<cv::Vec3f>(y, x) + cv::Vec3f(1.15F, 1.15F, 1.15F);  // dark pixels say little
      result.at<float>(y, x) = (2 * p[1] - p[0] - p[2]) / (p[0] + p[1] + p[2]);
    }
  return result;
}

cv::Mat plant_mask(const cv::Mat& bgr) {
  cv::Mat green = excess_green(bgr);
  cv::GaussianBlur(green, green, {}, 0.7);
  const std::vector<float> values(green.begin<float>(), green.end<float>());
  // Half the spread between the lower quantiles, where no plant is, tells how far the medium itself strays.
  const double middle = quantile(values, 0.4), spread = middle - quantile(values, 0.1);
  cv::Mat mask = green > middle + std::max(0.08, 3.0 * spread);
  cv::morphologyEx(mask, mask, cv::MORPH_OPEN, cv::getStructuringElement(cv::MORPH_CROSS, {3, 3}));
  return mask;
}

}  // namespace braird::vision
