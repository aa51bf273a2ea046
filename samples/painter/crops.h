// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

/// A crop of the given habit, its measures and colours varied as sorts and seasons vary them.
Crop any_crop(Habit habit, Random& random);

/// Gives it leaves of another colour than green: red, purple, bronze, yellow, pale. Threads get the last two.
void colour_leaves(Crop& crop, Random& random);

/// Brassicas and radishes.
bool is_cabbage(const Crop& crop);

SeedsInView any_seeds(Random& random);

}  // namespace braird::painter
