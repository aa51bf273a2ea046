// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

#include "vision/geometry.h"

namespace braird::vision {

/// How many of a tray's cells are green nearly all over their middle, as under a film of algae or closed leaves.
/// `bgr`: 8-bit; the lattice lies in its pixels.
int count_green_cells(const cv::Mat& bgr, const Lattice& lattice);

}  // namespace braird::vision
