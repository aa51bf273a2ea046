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
  double alike = 0;  ///< how much they look like the next one, -1 to 1; in an empty tray even its hole does
};

/// `bgr`: 8-bit photo; of `hints` crop and seeds sown count.
Glance glance_at(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints);

}  // namespace braird::vision
