// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// Pixels that stand out green from everything else in the tray: 8-bit, 0 or 255.
cv::Mat plant_mask(const cv::Mat& bgr);

}  // namespace braird::vision
