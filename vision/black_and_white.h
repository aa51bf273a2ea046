// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// A print's 0 for black and 255 for white, told by what is around each place. `grey`: 8-bit, 1 channel, 8 px
/// or more each way.
cv::Mat black_and_white(const cv::Mat& grey);

}  // namespace braird::vision
