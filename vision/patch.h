// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace braird::vision {

/// A blob and how many steps along each of its patch's two neighbour vectors it stands from the first one.
struct PlacedBlob {
  cv::Point steps;
  cv::Point2d seen;  ///< map pixels
  double weight;     ///< its peak, 0..1
};

/// Blobs each of which stands where its neighbours in the patch say that the next cell is: a lattice, however
/// it is bent. Needs no outline, no plane and no count.
using Patch = std::vector<PlacedBlob>;

}  // namespace braird::vision
