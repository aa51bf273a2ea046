// SPDX-License-Identifier: Apache-2.0
// Input built from the answer: lattices laid at random in a photo, and the maps that a perfect reader would
// see.
#pragma once

#include <random>

#include "vision/geometry.h"
#include "vision/lattice_maps.h"

namespace braird::vision::drawn {

using Random = std::mt19937;

/// A lattice of 3×4 to 20×40 cells, at most four times as long as wide, square or staggered, at any roll,
/// under tilt and lens, whole in a 320×240 px map.
Lattice any_lattice(Random& random);

/// Its maps: a share of the blobs missing or faint, the rest strayed by up to a tenth of a pitch.
LatticeMaps maps_of(const Lattice& lattice, Random& random);

/// The largest distance of a cell from its nearest counterpart in the other lattice, in pitches; 9 if the
/// shapes differ.
double farthest_off(const Lattice& truth, const Lattice& found);

}  // namespace braird::vision::drawn
