// SPDX-License-Identifier: Apache-2.0
// A cane, a hose or a bar's shadow along a row hides it and makes two trays of one, or leaves a row aside.
#pragma once

#include <vector>

#include "vision/geometry.h"
#include "vision/lattice_maps.h"
#include "vision/photo_senses.h"
#include "vision/second_look.h"

namespace braird::vision {

/// Whether a lattice seems to go on beyond what lies there: something as wide as it, but of another length,
/// is seen beyond, a tray or not (trays side by side mostly are of one make), or a row of cells two pitches
/// off and none in between. `looked`: all places looked at; what the photo's edge cuts is a neighbour.
bool may_go_on_across(const Lattice& lattice, const std::vector<Lattice>& all,
                      const std::vector<Looked>& looked, const LatticeMaps& maps,
                      const PhotoSenses& photo = {});

}  // namespace braird::vision
