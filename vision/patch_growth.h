// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/lattice_maps.h"
#include "vision/patch.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// The patches in a quad, largest first; each blob is in one of them at most.
std::vector<Patch> grow_patches(const LatticeMaps& maps, const TrayQuad& quad);

}  // namespace braird::vision
