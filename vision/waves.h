// SPDX-License-Identifier: Apache-2.0
// The waves that a picture is made of, wherever they stand in it: they tell how it was taken.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace braird::vision {

constexpr int kWaveWindow = 64;  ///< px a side of what is looked at at once

/// Those of windows, all of one strength in sum. At (x, y): x waves to the right and y downwards in a window; those
/// that run the other way stand at kWaveWindow - x and - y.
using Waves = std::vector<cv::Mat2f>;

/// Those of 25 windows spread over a picture, none of one under twice `kWaveWindow` px a side, where windows would show
/// much the same. `bgr`: 8-bit; `values`: makes of a px's blue, green and red the number that is looked at (one row) or
/// the two parts of a complex one.
Waves waves_in(const cv::Mat& bgr, const cv::Mat1d& values);

/// Those of a picture's brightness.
Waves waves_of_light(const cv::Mat& bgr);

/// How strong each wave is in the mean of the windows, at least one.
cv::Mat1f mean_power(const Waves& waves);

/// A column or row of waves as a number of them, below 0 for those that run the other way.
inline int signed_wave(int place) {
  return place <= kWaveWindow / 2 ? place : place - kWaveWindow;
}

}  // namespace braird::vision
