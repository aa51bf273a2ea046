// SPDX-License-Identifier: Apache-2.0
// What makes the counts of trays, however clearly their cells are seen, not to be believed, in words for their grower.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "vision/geometry.h"

namespace braird::vision {

/// Why what the part of a photo with its trays shows is not to be counted; mostly empty. `bgr`: 8-bit, not empty.
std::string why_spoilt(const cv::Mat& bgr, Counted counted);

/// What to know of how that part of a photo was taken; mostly nothing.
std::vector<std::string> remarks_on_taking(const cv::Mat& bgr);

/// What to know of a tray that is green all over; mostly empty. The lattice lies in the pixels of `bgr`.
std::string remark_on_green(const cv::Mat& bgr, const Lattice& lattice);

}  // namespace braird::vision
