// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/relief.h"

namespace braird::painter {

/// Tools, hoses, cards and pots on the ground, labels on and beside the trays; stakes stand up from the
/// cells.
void lay_clutter(const Scene& scene, double ground_level, Relief& relief, std::vector<Body>& bodies,
                 Random random);

}  // namespace braird::painter
