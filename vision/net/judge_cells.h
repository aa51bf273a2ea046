// SPDX-License-Identifier: Apache-2.0
// From a tray's maps to the chances of its cells: what the counters' networks share.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/net/layers.h"

namespace braird::vision {

/// What the body's layers make of these maps (32-bit floats, six places a cell each way), in their place.
Maps body_of(const Layers& net, const cv::Mat& small);

/// What the body's maps are gathered to, at one place for each row and half column of cells.
cv::Mat gathered(const Layers& net, const Maps& body);

/// The chances of each count, one a channel. `common`: what the cells have in common, if that is known; else
/// it is filled in.
cv::Mat judged(const Layers& net, const cv::Mat& gathered_maps, std::vector<float>& common);

}  // namespace braird::vision
