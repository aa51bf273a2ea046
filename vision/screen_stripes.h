// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// Whether a picture was taken of a screen: red, green and blue stand side by side there, and a camera sees stripes
/// that go through these colours in turn. `bgr`: 8-bit. False for a picture of under 64 px a side.
bool shows_screen_stripes(const cv::Mat& bgr);

}  // namespace braird::vision
