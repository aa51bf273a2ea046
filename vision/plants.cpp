// SPDX-License-Identifier: Apache-2.0
#include "vision/plants.h"

#include <algorithm>
#include <array>
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

/// The picture with each channel over its mean, less 1, within -1 … 3: 32-bit float, 3 channels. Coloured
/// light and the medium's own colour cancel out.
cv::Mat balanced(const cv::Mat& bgr) {
  const cv::Scalar mean = cv::mean(bgr);
  constexpr int kPixels = 4, kValues = 3 * kPixels;  // at a time, which compilers turn into wide instructions
  std::array<float, kValues> per_mean;
  for (int i = 0; i < kValues; ++i) per_mean[i] = static_cast<float>(1 / std::max(mean[i % 3], 2.55));
  const auto light = [&](uchar value, int i) {
    return std::min(static_cast<float>(value) * per_mean[i] - 1, 3.0F);
  };
  cv::Mat result(bgr.size(), CV_32FC3);
  for (int y = 0; y < bgr.rows; ++y) {
    const uchar* from = bgr.ptr(y);
    float* to = result.ptr<float>(y);
    int x = 0;
    for (; x + kPixels <= bgr.cols; x += kPixels, from += kValues, to += kValues)
      for (int i = 0; i < kValues; ++i) to[i] = light(from[i], i);
    for (int i = 0; i < 3 * (bgr.cols - x); ++i) to[i] = light(from[i], i);
  }
  return result;
}

/// Excess green 2g - r - b of balanced chromaticities (after Woebbecke et al. 1995), 32-bit float; the medium
/// lies at 0.
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

}  // namespace

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
