// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/geometry.h"
#include "vision/lattice_blobs.h"
#include "vision/lattice_maps.h"

namespace braird::vision {

enum class Effort { rough, full };

/// Moves a lattice onto the blobs it nearly meets; map pixels. Rough: a quarter of the work, for a first
/// look.
Lattice refine(const LatticeMaps& maps, Lattice lattice, Effort effort = Effort::full);

/// A lattice of the same shape laid through blobs whose cells are known: plane, lens and a smooth bend. Needs
/// nine of them, not all in line; by none at all it is laid nowhere.
Lattice lay_through(const std::vector<Meeting>& meetings, Lattice lattice);

/// Lets a refined lattice bend as a whole, by a polynomial of the third degree, onto its blobs.
Lattice bend(const LatticeMaps& maps, Lattice lattice);

/// Lets a lattice laid through places creep smoothly (further than it does already) until it meets them.
Lattice follow_creep(const std::vector<Meeting>& meetings, Lattice lattice);

/// Lets a refined lattice creep smoothly (further than it does already) onto its blobs.
Lattice follow_creep(const LatticeMaps& maps, Lattice lattice);

}  // namespace braird::vision
