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

/// The blobs of a quad, told by number from 1 on, and where to look for those near a place.
struct Blobs {
  std::vector<Blob> all{Blob{}};
  std::vector<bool> taken;
  cv::Mat1i first;        ///< in each square of `kSquare` px of the map, a blob; 0 where there is none
  std::vector<int> next;  ///< after each blob, another one of its square; 0 after the last

  static constexpr int kSquare = 8;

  void add(const Blob& blob);

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
