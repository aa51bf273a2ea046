// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>

#include "vision/geometry.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

/// How well a lattice and the maps agree; all shares 0..1.
struct Agreement {
  double met = 0;       ///< cells with a blob within a quarter of a pitch
  double edge = 0;      ///< blobs in the faintest outermost row or column, against the mean of all cells
  double likeness = 0;  ///< correlation of the map of centres with blobs drawn at the lattice's cells, -1..1
  double beyond = 1;    ///< the same one pitch beyond the outermost cells, on the side where it is strongest
  double gap =
      1;  ///< how far the region's sides lie from where its cells would have them, pitches; the worst
  double jump = 1;    ///< largest difference of how far two neighbouring rows or columns stray, cells
  double aspect = 1;  ///< how far a cell is from as high as wide (staggered: from 0.9 as high), log units
};

/// `corners`: of the quad in which the lattice lies, before the lens.
Agreement compare(const LatticeMaps& maps, const Lattice& lattice, const std::array<cv::Point2d, 4>& corners);

/// Whether a row or column along a side of the quad (before the lens) is seen only in part: the region goes
/// on for a good part of a pitch beyond the cells, or ends within cells that are dim.
bool has_hidden_side(const LatticeMaps& maps, const Lattice& lattice,
                     const std::array<cv::Point2d, 4>& corners);

}  // namespace braird::vision
