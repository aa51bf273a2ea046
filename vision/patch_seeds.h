// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/lattice_blobs.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// From a cell to its neighbours in two directions, map pixels.
struct Steps {
  cv::Point2d a, b;
};

double cell_area(const Steps& steps);

/// The blobs of a quad, and a picture in which each has its number at its place (0: none there).
struct Blobs {
  std::vector<Blob> all{Blob{}};
  cv::Mat1i at;
  std::vector<bool> taken;

  /// The nearest free blob within `reach` px; 0 if there is none.
  int nearest(cv::Point2d p, double reach) const;
};

Blobs blobs_of(const LatticeMaps& maps, const TrayQuad& quad);

/// Where a patch might begin: a blob whose neighbours stand evenly around it.
struct Seed {
  int blob = 0;
  Steps steps;
  double regularity = 0;  ///< 0: nothing stands around it; more is better
};

/// The most regular ones first.
std::vector<Seed> seeds_of(const Blobs& blobs);

}  // namespace braird::vision
