// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace braird::vision {

using Outline = std::vector<cv::Point>;

/// The outlines of the trays that make up a region, told apart by their cores; the region's own if it has one
/// core or none. `core`: 32-bit float, 0..1. A core begins a whole pitch within its tray, so butted trays'
/// cores lie wide apart.
std::vector<Outline> told_apart(const Outline& region, const cv::Mat& core);

}  // namespace braird::vision
