// SPDX-License-Identifier: Apache-2.0
// What makes the counts of trays, however clearly their cells are seen, not to be believed, in words for their grower.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "vision/geometry.h"

namespace braird::vision {

/// How a photo was taken.
struct Taking {
  std::string spoilt;                ///< why it is not to be counted; mostly empty
  std::vector<std::string> remarks;  ///< what else to know; mostly nothing
};

/// `bgr`: the part of it with its trays, 8-bit, not empty.
Taking how_taken(const cv::Mat& bgr, Counted counted);

/// What to know of a tray that is green all over; mostly empty. The lattice lies in the pixels of `bgr`.
std::string remark_on_green(const cv::Mat& bgr, const Lattice& lattice);

}  // namespace braird::vision
