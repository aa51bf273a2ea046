// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

/// A tray from the whole range in use, filled and sown with this crop.
Tray any_tray(const Crop& crop, Random& random);

}  // namespace braird::painter
