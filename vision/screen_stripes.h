// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include "vision/waves.h"

namespace braird::vision {

/// Whether a picture was taken of a screen: red, green and blue stand side by side there, and a camera sees stripes
/// that go through these colours in turn. `bgr`: 8-bit; `light`: its `waves_of_light`.
bool shows_screen_stripes(const cv::Mat& bgr, const Waves& light);

}  // namespace braird::vision
