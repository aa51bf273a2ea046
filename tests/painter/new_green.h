// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "calibration/census.h"

namespace braird {

/// A witness on trial, not yet heard in joining days: how much greener than an earlier photo of the same tray
/// a later one is at the place of each cell where it is so most, and the same the other way round, which
/// tells what light and noise do alone.
struct NewGreen {
  double appeared = 0, gone = 0;  ///< excess green (vision/plants.h)
};

/// One entry a cell. `earlier`, `later`: 8-bit, BGR, with the trays as counted in them, whose cells are
/// numbered alike. What lies in a cell is found again, be the lattices a little off.
std::vector<NewGreen> new_green(const cv::Mat& earlier, const Tray& earlier_tray, const cv::Mat& later,
                                const Tray& later_tray);

}  // namespace braird
