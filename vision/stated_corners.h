// SPDX-License-Identifier: Apache-2.0
// Cells laid through four corner cells given by hand.
#pragma once

#include "vision/hints.h"
#include "vision/lattice.h"
#include "vision/lattice_maps.h"
#include "vision/trace.h"

namespace braird::vision {

/// Whether layout and corners are told.
bool is_laid_by_hand(const Hints& hints);

/// The lattice through the stated corners, bent between them as the photo shows its cells, where it shows most
/// of them. Which way staggered rows are shifted is seen, too. Where cells show elsewhere than they are laid,
/// `fit` falls below 1, and a remark says so. Throws as lattice_from_corners does.
LatticeSearch laid_by_hand(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                           const Trace& trace = {});

}  // namespace braird::vision
