// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/lattice_blobs.h"

namespace braird::vision {

/// The cells of a lattice that is right at its corners only and may bend as it likes between them.
struct MetFromCorners {
  std::vector<Meeting> cells;  ///< those that blobs show, map pixels
  bool torn = false;  ///< next neighbours stray so differently that the lattice has not the cells shown
};

/// Meets its blobs from the corner cells inwards, each cell where its neighbours that were met already lead one
/// to expect it.
MetFromCorners meet_from_corners(const LatticeMaps& maps, const Lattice& lattice);

}  // namespace braird::vision
