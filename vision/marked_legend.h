// SPDX-License-Identifier: Apache-2.0
// What stands below a marked photo: each mark, what it means, and how many cells have it.
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "calibration/census.h"

namespace braird::vision {

/// A tray's line of the legend, as wide as the photo; it starts with the tray's name, where it has one.
cv::Mat legend_line(int width, const Tray& tray, Counted counted, const std::string& name);

double legend_word_height(int width);  ///< px of a capital

}  // namespace braird::vision
