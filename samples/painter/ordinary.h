// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

/// One of the crops that are raised most, shaped as most of its sorts are.
Crop ordinary_crop(Random& random);

/// A tray of that crop as it stands about a week after sowing: clean medium, few seeds a cell, most of them
/// up.
Tray ordinary_tray(const Crop& crop, Random& random);

}  // namespace braird::painter
