// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "vision/geometry.h"

namespace braird::vision {

/// Where in its cell does what grows there stand? The middle of the cell's plant pixels, from the cell's
/// centre along the row and from row to row, in cells, -0.5 … 0.5; one entry a cell, row by row. Nothing
/// where too little green is seen. It tells trays and turns apart; it is no count.
std::vector<std::optional<cv::Point2d>> plant_places(const cv::Mat& bgr, const Lattice& lattice);

}  // namespace braird::vision
