// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// Whether a picture is smeared along one direction, as by a camera that moved. `bgr`: 8-bit. False for one of under
/// 64 px a side.
bool is_smeared(const cv::Mat& bgr);

}  // namespace braird::vision
