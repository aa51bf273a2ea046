// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>

#include "vision/net/weights.h"

namespace braird::vision {

enum class Model { lattice, lattice_closer, ends, seams, counts, seeds, seeds_large_tray, coming_up };
inline constexpr std::array kModels{
    Model::lattice, Model::lattice_closer,   Model::ends,     Model::seams, Model::counts,
    Model::seeds,   Model::seeds_large_tray, Model::coming_up};

/// The weights of a network, which are compiled into the library; those whose names begin with `prefix`,
/// without it.
Weights model_weights(Model model, const std::string& prefix = "");

}  // namespace braird::vision
