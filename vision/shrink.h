// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// A picture at `scale` (0..1] of its size, each pixel the mean of what it covers; of 8 bits a channel, up to four
/// channels. Halves first: that costs far less than averaging over odd shares.
cv::Mat shrunk(const cv::Mat& picture, double scale);

}  // namespace braird::vision
