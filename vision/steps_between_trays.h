// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/lattice_maps.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// The quad itself, or those of trays butted together so closely that no dark seam shows: two rims between
/// neighbouring cells set them farther apart (or nearer) than all others.
std::vector<TrayQuad> split_at_steps(const LatticeMaps& maps, const TrayQuad& quad);

}  // namespace braird::vision
