// SPDX-License-Identifier: Apache-2.0
// Which tray is which: their numbers at their rims.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird::vision {

/// As the census numbers its trays: "tray 1" is the first.
std::string tray_name(std::size_t index);

/// Writes each tray's name on the picture at that tray's rim, beside what is drawn there already. `bgr`: the
/// same picture before anything was drawn on it.
void write_tray_names(cv::Mat& picture, const cv::Mat& bgr, const std::vector<Tray>& trays);

}  // namespace braird::vision
