// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include "samples/painter/random.h"

namespace braird::painter {

/// Smooth random hills, mean 0 and deviation about 1, whose size is `grain_px` along x and y.
cv::Mat1f hills(cv::Size size, cv::Size2d grain_px, Random& random);

/// Hills upon hills: each octave half as large and `rough` times as high.
cv::Mat1f fractal(cv::Size size, cv::Size2d grain_px, int octaves, double rough, Random& random);

/// Independent normal noise.
cv::Mat white(cv::Size size, int type, Random& random);

}  // namespace braird::painter
