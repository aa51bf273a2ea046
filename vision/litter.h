// SPDX-License-Identifier: Apache-2.0
// Grains, flakes and fibres lie on a tray's medium in places of their own: a fingerprint that tells a tray
// from others of its make, and which way round it lies, even before anything comes up.
//
// A cell is compared with the same cell in the other photo and with the cells around that one, which share
// whatever is the tray's make, light or perspective. Where the trays differ, the right cell's rank among
// these is chance, and the mean rank of n cells is normal, z of deviation 1; where they are the same, the
// right cell is likest. On 19 painted trays, photographed on four days in other light, z was 2.6 to 49 for 76
// pairs of photos of one tray (over 7 in 66), and at most 3.9 for the same turned by half and for 97 pairs of
// different trays.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/tray_in_photo.h"

namespace braird::vision {

/// A tray laid flat, all but the fine structure of its surface taken off.
struct Litter {
  cv::Mat map;                   ///< 32-bit float, kCoarseCell px a cell
  std::vector<cv::Point> cells;  ///< where their middles lie on it, row by row
};

/// What speaks for two photos showing one tray, the same way round or turned by half: nats, ≥ 0.
struct LitterMatch {
  double upright = 0, turned = 0;
};

/// Throws std::invalid_argument with one clause where no lattice goes through the census's cells.
Litter litter_of(const TrayInPhoto& seen);

/// What the litter of two trays of one layout says for their being the same: (z - 1)² / 2 nats, since z has a
/// mean of 1 for different ones, being the best of some ways to lay them on each other. At least 4 cells.
LitterMatch match_litter(const Litter& one, const Litter& other);

}  // namespace braird::vision
