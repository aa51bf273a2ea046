// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird::vision {

/// A cell to look at closely.
struct CropOrder {
  Point centre_px;
  std::string name;  ///< below the crop, ASCII
};

/// Each cell with half a cell around it, enlarged, its own bounds ticked at the corners, name below; five
/// across. `bgr`: 8-bit, 3 channels; pitch_px > 0; at least one order. Places beyond the photo are black.
cv::Mat cell_crops(const cv::Mat& bgr, double pitch_px, const std::vector<CropOrder>& orders);

}  // namespace braird::vision
