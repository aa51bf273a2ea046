// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "vision/trace.h"

namespace braird::vision {

/// What each place of a photo looks like, 0..1, 32-bit float, all of one size.
struct LatticeMaps {
  cv::Mat region;     ///< inside the hull of a tray's cells, by `kRegionInset`
  cv::Mat centres;    ///< a blob of about a fifth of a pitch at each cell's centre
  cv::Mat staggered;  ///< inside a region: its rows are shifted in turn
  cv::Rect frame;     ///< where the photo shows something: plain bars that pad its sides are left out
  std::string fault;  ///< why little can be made out in this photo, with the remedy; empty: nothing amiss
  double map_from_photo = 1;  ///< map pixels a photo pixel
};

/// The learned witness of where cells are. `bgr`: the photo, 8-bit; it is looked at with its long side at 640
/// px.
LatticeMaps read_lattice_maps(const cv::Mat& bgr, const Trace& trace = {});

}  // namespace braird::vision
