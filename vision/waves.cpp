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
  const cv::Mat values = window - cv::mean(window);
  cv::Mat waves;
  cv::dft(values.mul(fading), waves, cv::DFT_COMPLEX_OUTPUT);
  const cv::Mat1f power = power_of(waves);
  return power / (cv::sum(power)[0] + 1);
}

}  // namespace

cv::Mat1f mean_waves(const cv::Mat& picture) {
  const cv::Size window(kWaveWindow, kWaveWindow);
  cv::Mat fading;
  cv::createHanningWindow(fading, window, CV_32F);
  if (picture.channels() == 2) cv::merge(std::vector{fading, fading}, fading);
  cv::Mat1f sum(window, 0.0F);
  for (int row = 0; row < kWindowsAcross; ++row)
    for (int col = 0; col < kWindowsAcross; ++col) {
      const cv::Point at((picture.cols - kWaveWindow) * col / (kWindowsAcross - 1),
                         (picture.rows - kWaveWindow) * row / (kWindowsAcross - 1));
      sum += waves_of(picture(cv::Rect(at, window)), fading);
    }
  return sum / (kWindowsAcross * kWindowsAcross);
}

}  // namespace braird::vision
