// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include "calibration/census.h"

namespace braird::vision {

/// The photo with the lattice and each cell's state drawn on it, told apart by shape as well as by colour.
cv::Mat marked_photo(const cv::Mat& bgr, const Census& census);

}  // namespace braird::vision
