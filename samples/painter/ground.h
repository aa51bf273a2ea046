// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/relief.h"

namespace braird::painter {

/// Lays the whole relief with a ground whose top is at `level` mm.
void lay_ground(Relief& relief, Ground ground, double level, Random random);

/// Crumbs, stones, fibres and needles lying about outside the trays, `pieces` per dm².
void lay_litter(Relief& relief, double pieces, Random random);

/// Grass blades over a rectangle, `blades` in all.
void lay_blades(Relief& relief, cv::Rect2d where_mm, int blades, double level, Random random);

}  // namespace braird::painter
