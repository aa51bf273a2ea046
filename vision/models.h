// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/net/weights.h"

namespace braird::vision {

enum class Model { lattice, ends, counts, seeds, coming_up };

/// The weights of a network, which are compiled into the library.
Weights model_weights(Model model);

}  // namespace braird::vision
