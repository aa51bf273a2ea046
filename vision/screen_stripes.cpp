// SPDX-License-Identifier: Apache-2.0
#include "vision/screen_stripes.h"

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

/// Makes a complex number of a px's colour: its hue and how strong that is. It turns as one goes through a rainbow.
cv::Mat1d hue() {
  const double cos = std::cos(2 * std::numbers::pi / 3), sin = std::sin(2 * std::numbers::pi / 3);
  return (cv::Mat1d(2, 3) << cos, cos, 1, -sin, sin, 0);
}

/// What of the hues' waves does not go with the brightness, in the mean of all windows. Where a lens sends red and
/// blue apart, hues run one way along every edge; but they go with the edges.
cv::Mat1f apart_from(const Waves& light, const Waves& hues) {
  cv::Mat2f together(hues.front().size(), cv::Vec2f()), product;
  for (std::size_t i = 0; i < hues.size(); ++i) {
    cv::mulSpectrums(hues[i], light[i], product, 0, true);
    together += product;
  }
  const auto windows = static_cast<double>(hues.size());
  const cv::Mat1f shared = mean_power({together}) / (windows * windows);
  return mean_power(hues) - shared / (mean_power(light) + 1e-12);
}

/// The mean over places around, since stripes are not quite even.
cv::Mat1f with_neighbours(const cv::Mat1f& waves) {
  cv::Mat1f wide, mean;
  cv::copyMakeBorder(waves, wide, 1, 1, 1, 1, cv::BORDER_WRAP);
  cv::blur(wide, mean, {3, 3});
  return mean(cv::Rect({1, 1}, waves.size())).clone();
}

}  // namespace

bool shows_screen_stripes(const cv::Mat& bgr, const Waves& light) {
  // What lies about goes from one colour to another and back: its waves run both ways alike. A rainbow's run one
  // way. In 14 photos these are at most 0.18 more; in quarters of them, seen through a lens that sends red and blue
  // 1 px apart at the photo's corner, 0.6; stripes of 0.15 of the brightness, from which on counts are useless, give
  // 0.76 to 1.8 in 13 of them (0.3 to 0.44 in one that is burnt out).
  constexpr double kOneWay = 0.7;
  constexpr int kSlowest = 2;  // waves across a window: fewer are light and its fading
  if (light.empty()) return false;
  const cv::Mat1f waves = with_neighbours(apart_from(light, waves_in(bgr, hue())));
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
