// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/lattice_maps.h"
#include "vision/patch.h"

namespace braird::vision {

/// Four straight sides seen through a lens: a tray's region.
struct TrayQuad {
  std::array<cv::Point2d, 4> corners;  ///< before the lens, clockwise as seen, map pixels
  Lens lens;
  double area = 0;       ///< share of the map
  std::string cut_side;  ///< "left", "right", "upper" or "lower" if a side lies along the frame, else empty
  std::optional<std::vector<Patch>> patches;  ///< those in it, if they have been grown
};

/// A map seen square-on within the quad, `side` px wide and high, a multiple of 8; 32-bit float.
cv::Mat square_on(const cv::Mat& map, const TrayQuad& quad, int side);

/// The tray-like regions of the maps, largest first, butted trays each for itself.
std::vector<TrayQuad> find_tray_quads(const LatticeMaps& maps);

}  // namespace braird::vision
