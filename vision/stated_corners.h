// SPDX-License-Identifier: Apache-2.0
// Cells laid through four corner cells given by hand.
#pragma once

#include "vision/hints.h"
#include "vision/lattice.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

/// Whether layout and corners are told.
bool is_laid_by_hand(const Hints& hints);

/// The lattice through the stated corners. Which way staggered rows are shifted is seen on the maps; where
/// these show cells elsewhere than square rows are laid, `fit` falls below 1, and a remark says so. `photo`:
/// its size. Throws as lattice_from_corners does.
LatticeSearch laid_by_hand(cv::Size photo, const LatticeMaps& maps, const Hints& hints);

}  // namespace braird::vision
