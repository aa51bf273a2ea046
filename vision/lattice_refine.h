// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/geometry.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

/// Moves a lattice onto the blobs it nearly meets; map pixels.
Lattice refine(const LatticeMaps& maps, Lattice lattice);

/// Lets a refined lattice creep smoothly onto its blobs.
Lattice follow_creep(const LatticeMaps& maps, Lattice lattice);

}  // namespace braird::vision
