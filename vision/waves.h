// SPDX-License-Identifier: Apache-2.0
// The waves that a picture is made of, wherever they stand in it: they tell how it was taken.
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

constexpr int kWaveWindow = 64;  ///< px a side of what is looked at at once

/// How strong each wave is in the mean of 36 windows spread over a picture, whatever their contrast. `bgr`: 8-bit,
/// `kWaveWindow` px or more a side; `values`: makes of a px's blue, green and red the number that is looked at (one
/// row) or the two parts of a complex one. At (x, y): x waves to the right and y downwards in a window; those that
/// run the other way stand at kWaveWindow - x and - y.
cv::Mat1f mean_waves(const cv::Mat& bgr, const cv::Mat1d& values);

/// A column or row of that as a number of waves, below 0 for those that run the other way.
inline int signed_wave(int place) {
  return place <= kWaveWindow / 2 ? place : place - kWaveWindow;
}

}  // namespace braird::vision
