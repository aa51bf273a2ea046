// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/geometry.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

enum class Effort { rough, full };

/// Moves a lattice onto the blobs it nearly meets; map pixels. Rough: a quarter of the work, for a first
/// look.
Lattice refine(const LatticeMaps& maps, Lattice lattice, Effort effort = Effort::full);

/// Lets a refined lattice creep smoothly onto its blobs.
Lattice follow_creep(const LatticeMaps& maps, Lattice lattice);

}  // namespace braird::vision
