// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// What the middle of a tray, at most 36 cells, shows before its seeds are counted.
struct Glance {
  std::vector<CountChances> seedlings;  ///< that stand in each of these cells
  double alike =
      0;  ///< how much they look like the next one, -1 to 1: down to its drain hole in an empty tray
};

Glance glance_at(const cv::Mat& bgr, const Lattice& lattice, Hints hints);

}  // namespace braird::vision
