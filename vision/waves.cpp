// SPDX-License-Identifier: Apache-2.0
#include "vision/waves.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr int kWindowsAcross = 5;

/// `fading`: what its edges are faded by, in each channel.
cv::Mat2f waves_of(const cv::Mat& window, const cv::Mat& fading) {
  const cv::Mat faded = cv::Mat(window - cv::mean(window)).mul(fading);
  cv::Mat2f waves;
  cv::dft(faded, waves, cv::DFT_COMPLEX_OUTPUT);
  waves *= 1 / std::sqrt(cv::norm(waves, cv::NORM_L2SQR) + 1);
  return waves;
}

}  // namespace

Waves waves_in(const cv::Mat& bgr, const cv::Mat1d& values) {
  const cv::Size window(kWaveWindow, kWaveWindow);
  cv::Mat fading;
  cv::createHanningWindow(fading, window, CV_32F);
  if (values.rows == 2) cv::merge(std::vector{fading, fading}, fading);
  Waves waves;
  if (std::min(bgr.rows, bgr.cols) < 2 * kWaveWindow) return waves;
  for (int row = 0; row < kWindowsAcross; ++row)
    for (int col = 0; col < kWindowsAcross; ++col) {
      const cv::Point at((bgr.cols - kWaveWindow) * col / (kWindowsAcross - 1),
                         (bgr.rows - kWaveWindow) * row / (kWindowsAcross - 1));
      cv::Mat part;
      bgr(cv::Rect(at, window)).convertTo(part, CV_32F);
      cv::transform(part, part, values);
      waves.push_back(waves_of(part, fading));
    }
  return waves;
}

Waves waves_of_light(const cv::Mat& bgr) {
  return waves_in(bgr, (cv::Mat1d(1, 3) << 0.114, 0.587, 0.299));
}

cv::Mat1f mean_power(const Waves& waves) {
  cv::Mat2f squares(waves.front().size(), cv::Vec2f());
  for (const cv::Mat2f& window : waves) cv::accumulateSquare(window, squares);
  cv::Mat1f sum;
  cv::transform(squares, sum, cv::Matx12f(1, 1));
  return sum / static_cast<double>(waves.size());
}

}  // namespace braird::vision
