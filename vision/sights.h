// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/photo_senses.h"
#include "vision/sight.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// What shows in a quad, nearer looks and the photo asked where the maps leave something unclear; one sight
/// for each of the trays that touch in it.
std::vector<Sight> sights_in(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                             const PhotoSenses& photo);

}  // namespace braird::vision
