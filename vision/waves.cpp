// SPDX-License-Identifier: Apache-2.0
#include "vision/waves.h"

#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr int kWindowsAcross = 6;

cv::Mat1f power_of(const cv::Mat& waves) {
  cv::Mat parts[2];
  cv::split(waves, parts);
  return parts[0].mul(parts[0]) + parts[1].mul(parts[1]);
}

/// `fading`: what its edges are faded by, in each channel.
cv::Mat1f waves_of(const cv::Mat& window, const cv::Mat& fading) {
  const cv::Mat faded = cv::Mat(window - cv::mean(window)).mul(fading);
  cv::Mat waves;
  cv::dft(faded, waves, cv::DFT_COMPLEX_OUTPUT);
  const cv::Mat1f power = power_of(waves);
  return power / (cv::sum(power)[0] + 1);
}

}  // namespace

cv::Mat1f mean_waves(const cv::Mat& bgr, const cv::Mat1d& values) {
  const cv::Size window(kWaveWindow, kWaveWindow);
  cv::Mat fading;
  cv::createHanningWindow(fading, window, CV_32F);
  if (values.rows == 2) cv::merge(std::vector{fading, fading}, fading);
  cv::Mat1f sum(window, 0.0F);
  for (int row = 0; row < kWindowsAcross; ++row)
    for (int col = 0; col < kWindowsAcross; ++col) {
      const cv::Point at((bgr.cols - kWaveWindow) * col / (kWindowsAcross - 1),
                         (bgr.rows - kWaveWindow) * row / (kWindowsAcross - 1));
      cv::Mat part;
      bgr(cv::Rect(at, window)).convertTo(part, CV_32F);
      cv::transform(part, part, values);
      sum += waves_of(part, fading);
    }
  return sum / (kWindowsAcross * kWindowsAcross);
}

}  // namespace braird::vision
