// SPDX-License-Identifier: Apache-2.0
#include "vision/screen_stripes.h"

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "vision/waves.h"

namespace braird::vision {
namespace {

/// Makes a complex number of a px's colour: its hue and how strong that is. It turns as one goes through a rainbow.
cv::Mat1d hue() {
  const double cos = std::cos(2 * std::numbers::pi / 3), sin = std::sin(2 * std::numbers::pi / 3);
  return (cv::Mat1d(2, 3) << cos, cos, 1, -sin, sin, 0);
}

/// The mean over places around, since stripes are not quite even.
cv::Mat1f with_neighbours(const cv::Mat1f& waves) {
  cv::Mat1f wide, mean;
  cv::copyMakeBorder(waves, wide, 1, 1, 1, 1, cv::BORDER_WRAP);
  cv::blur(wide, mean, {3, 3});
  return mean(cv::Rect({1, 1}, waves.size())).clone();
}

}  // namespace

bool shows_screen_stripes(const cv::Mat& bgr) {
  // What lies about goes from one colour to another and back: its waves run both ways alike. A rainbow's run one
  // way. In 71 painted photos these are at most 0.28 more; stripes of 0.08 of the brightness give 0.4 to 1.4, and of
  // 0.15, from which on counts are useless, 1.0 or more.
  constexpr double kOneWay = 0.6;
  constexpr int kSlowest = 2;  // waves across a window: fewer are light and its fading
  if (std::min(bgr.rows, bgr.cols) < kWaveWindow) return false;
  const cv::Mat1f waves = with_neighbours(mean_waves(bgr, hue()));
  double one_way = 0, all = 0;
  for (int y = 0; y < kWaveWindow; ++y)
    for (int x = 0; x < kWaveWindow; ++x) {
      if (std::hypot(signed_wave(x), signed_wave(y)) < kSlowest) continue;
      const float there = waves(y, x),
                  back = waves((kWaveWindow - y) % kWaveWindow, (kWaveWindow - x) % kWaveWindow);
      one_way += std::abs(there - back);
      all += there;
    }
  return one_way > kOneWay * all;
}

}  // namespace braird::vision
